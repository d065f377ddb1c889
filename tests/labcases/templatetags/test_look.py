"""Status marks, the page frame, and the rules that every template keeps."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.messages.storage.base import Message
from django.template import Context, Template
from django.template.loader import render_to_string
from django.test import RequestFactory

from labcases.templatetags import look

TEMPLATES = Path(settings.BASE_DIR) / "templates"
STYLES = Path(settings.BASE_DIR) / "static" / "css"


def drawn(source, **context):
    return Template("{% load look %}" + source).render(Context(context))


def page(template, **context):
    return render_to_string(template, context, request=RequestFactory().get("/"))


@pytest.mark.parametrize("name", look.GLYPHS)
def test_a_status_is_a_shape_and_a_word(name):
    html = drawn("{% glyph name %}", name=name)

    assert "<svg" in html
    assert f"<span>{look.GLYPHS[name][1]}</span>" in html
    assert 'aria-hidden="true"' in html


def test_no_two_statuses_share_a_shape():
    drawings = [drawing for drawing, _ in look.GLYPHS.values()]
    assert len(set(drawings)) == len(drawings)


def test_a_status_may_carry_its_own_word_and_the_flag_of_a_late_case():
    html = drawn('{% glyph "on the bench" "Set-up" late=True %}')

    assert "<span>Set-up</span>" in html
    assert "<span>Late</span>" in html
    assert "On the bench" not in html


def test_the_word_of_a_status_is_escaped():
    assert "&lt;b&gt;" in drawn('{% glyph "waiting" word %}', word="<b>")


def test_every_icon_that_a_template_asks_for_is_in_the_sprite():
    sprite = (Path(settings.BASE_DIR) / "static" / "img" / "icons.svg").read_text()
    drawn_icons = set(re.findall(r'<symbol id="([a-z]+)"', sprite))
    asked = set()
    for path in TEMPLATES.rglob("*.html"):
        asked |= set(re.findall(r'{% icon "([a-z]+)" %}', path.read_text()))

    assert asked - drawn_icons == set()


def test_the_frame_names_person_places_and_demonstration():
    html = page(
        "base.html",
        page_title="Desk",
        demo=True,
        who={"name": "Tomas Brandt", "role": "Technician", "organisation": "Quay Lane Laboratory"},
        nav_items=[
            {"label": "Bench", "url": "/bench"},
            {"label": "Desk", "url": "/", "current": 1},
        ],
        messages=[Message(25, "Saved.")],
    )

    assert "<title>Desk - Case tracker</title>" in html
    assert html.count("<h1>") == 1
    assert "DEMO - invented people" in html
    assert "Technician, Quay Lane Laboratory" in html
    assert '<a href="/" aria-current="page">Desk</a>' in html
    assert '<a class="skip" href="#main">' in html
    assert '<li class="message success">Saved.</li>' in html
    assert "Not for diagnosis or treatment decisions" in html


def test_without_a_demonstration_the_page_does_not_speak_of_one():
    assert "DEMO" not in page("base.html", page_title="Desk", demo=False)


@pytest.mark.parametrize(
    ("template", "heading"),
    [
        ("400.html", "That could not be read"),
        ("403.html", "This is not yours to do"),
        ("404.html", "There is no such page for you"),
        ("500.html", "Something broke on our side"),
    ],
)
def test_pages_of_refusal_say_so_in_their_title(template, heading):
    html = page(template)

    assert "<title>Error: " in html
    assert f"<h1>{heading}</h1>" in html


def case_head(**safety):
    head = {
        "code": "7Q2K",
        "patient_code": "H-0114",
        "office": "Harbour Dental Office",
        "laboratory": "Quay Lane Laboratory",
        "arch": "Upper",
        "glyph": "on the bench",
        "stage": "Set-up",
        "safety": {
            "allergy": "None known",
            "infection": "Standard precautions",
            "surgery": "Fri 18-Dec-2026",
            **safety,
        },
    }
    return render_to_string("case/_head.html", {"head": head})


def test_the_case_head_carries_both_identifiers_and_the_safety_strip():
    html = case_head()

    for text in (
        "7Q2K",
        "H-0114",
        "None known",
        "Standard precautions",
        "Fri 18\u2011Dec\u20112026",
    ):
        assert text in html
    assert 'class="alert"' not in html


def test_an_allergy_stands_out_and_an_unasked_one_differently():
    assert '<div class="alert">' in case_head(allergy="Nickel", allergy_alert=True)
    assert '<div class="ask">' in case_head(allergy="Not asked yet", allergy_ask=True)


def test_what_is_next_lists_what_is_missing_and_who_may_pass():
    html = page(
        "parts/_next.html",
        next={
            "whom": "Next: the technician.",
            "missing": [{"text": "The pin reads 0.4 mm.", "url": "/ledger", "link": "Ledger"}],
            "passable": "A laboratory manager may pass the pin with a reason.",
            "actions": [
                {"label": "Posterior part is done", "url": "/done", "post": True, "main": True},
                {"label": "Release", "url": "/release", "off": "remount is not done"},
            ],
        },
    )

    assert '<a href="/ledger">Ledger</a>' in html
    assert "A laboratory manager may pass the pin with a reason." in html
    assert 'name="csrfmiddlewaretoken"' in html
    assert '<span class="button" aria-disabled="true">Release</span>' in html
    assert 'href="/release"' not in html


def test_findings_show_words_and_source_and_no_key():
    html = render_to_string(
        "case/_findings.html",
        {"findings": [{"code": "pin-lift", "text": "The pin lifts.", "source": "from memory"}]},
    )

    assert "The pin lifts." in html
    assert '<p class="source">Source: from memory</p>' in html
    assert "pin-lift" not in html


TAG = re.compile(r"{%.*?%}|{{.*?}}|{#.*?#}", re.DOTALL)


class Rules(HTMLParser):
    """Note whatever a strict Content-Security-Policy would refuse."""

    def __init__(self):
        super().__init__()
        self.broken = []

    def handle_starttag(self, tag, attrs):
        names = [name for name, _ in attrs]
        if "style" in names or tag == "style":
            self.broken.append(f"<{tag} style>")
        if any(name.startswith("on") for name in names):
            self.broken.append(f"<{tag} on...>")
        if tag == "script" and "src" not in names and dict(attrs).get("type") != "application/json":
            self.broken.append("<script> without src")


@pytest.mark.parametrize(
    "fault",
    ['<p style="color: red">', "<style>", '<p onclick="go()">', "<script>go()</script>"],
)
def test_a_style_or_script_in_a_template_is_found(fault):
    rules = Rules()
    rules.feed(fault)
    assert len(rules.broken) == 1


@pytest.mark.parametrize(
    "path", sorted(TEMPLATES.rglob("*.html")), ids=lambda path: str(path.relative_to(TEMPLATES))
)
def test_no_template_holds_a_style_or_a_script_of_its_own(path):
    rules = Rules()
    rules.feed(TAG.sub("", path.read_text()))
    assert rules.broken == []


TOKEN = re.compile(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6})")


def tokens(theme):
    light, _, dark = (STYLES / "tokens.css").read_text().partition(':root[data-theme="dark"]')
    return dict(TOKEN.findall(light)) | (dict(TOKEN.findall(dark)) if theme == "dark" else {})


def contrast(one, other):
    """Contrast ratio of WCAG 2.2, from relative luminances."""

    def luminance(colour):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    bright, dim = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def test_the_contrast_formula_gives_21_for_black_on_white():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "stone", "stone-2"])
@pytest.mark.parametrize("text", ["ink", "ink-2", "action", "action-pressed", "wax", "pencil"])
def test_text_stands_out_from_every_ground(theme, ground, text):
    colours = tokens(theme)
    assert contrast(colours[text], colours[ground]) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(
    ("text", "ground"),
    [("on-action", "action"), ("on-action", "action-pressed"), ("on-wax", "wax")],
)
def test_text_stands_out_from_filled_buttons(theme, text, ground):
    colours = tokens(theme)
    assert contrast(colours[text], colours[ground]) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_rules_and_status_fills_stand_out_from_paper(theme):
    colours = tokens(theme)
    shapes = ["line", *(name for name in colours if name.startswith("fill-"))]
    assert [name for name in shapes if contrast(colours[name], colours["paper"]) < 3] == []


def test_the_focus_ring_stands_out_from_its_dark_edge():
    colours = tokens("light")
    assert contrast(colours["focus"], colours["ink"]) >= 3
    assert contrast(colours["ink"], colours["paper"]) >= 3


@pytest.mark.parametrize("path", sorted(STYLES.glob("*.css")), ids=lambda path: path.name)
def test_no_stylesheet_fetches_anything_or_shades_with_gradients(path):
    text = path.read_text()
    assert "url(" not in text
    assert "@import" not in text
    assert "gradient" not in text
