"""The processing of a case, folded to a line."""

from __future__ import annotations

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.models import Case
from labcases.views._folded import Part, many, url_of


def processing(case: Case) -> Part:
    url = url_of("processing", case)
    run = states.run_of(case)
    if run is None:
        return Part("processing", "Processing", url, "Nothing entered", done=False)
    state = states.of(run)
    left = state.steps_missing()
    to_mind = state.cautions()
    last = next(reversed(state.steps.values()), None)
    said = [str(run.get_technique_display())]
    said += [f"{state.way.flask.lower()} {run.flask}"] if run.flask else []
    said += [processing_runs.in_words(last)] if last else ["no step entered"]
    return Part(
        "processing",
        "Processing",
        url,
        "; ".join(said),
        done=not left and not state.lots_missing(),
        mark="warning" if to_mind else "",
        word=many(len(to_mind), "thing to mind", "things to mind") if to_mind else "",
        pairs=[
            *(
                {"label": label, "value": value}
                for label, value in processing_runs.told(run)
                if value
            ),
            *(
                {"label": "Step", "value": processing_runs.in_words(line)}
                for line in state.steps.values()
            ),
            *(
                {"label": "Material", "value": processing_runs.in_words(row)}
                for row in state.materials
            ),
            *({"label": "To mind", "value": one.text} for one in to_mind),
        ],
    )
