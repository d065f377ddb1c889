"""With CI=true a skipped test has failed: that machine must have what the test needs.

conftest.py takes these hooks in; they stand apart so that a test can try them by themselves.
"""

import os

import pytest


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if os.environ.get("CI") == "true" and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"Skipped, which CI=true does not allow: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    """A module that skips itself while it is read would otherwise not be counted at all."""
    report = yield
    if os.environ.get("CI") == "true" and report.skipped:
        report.outcome = "failed"
        report.longrepr = f"Skipped, which CI=true does not allow: {report.longrepr}"
    return report
