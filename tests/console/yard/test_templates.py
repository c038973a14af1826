"""Every bay template loads when it is pasted into a yard.toml, and says where its limits come from."""

import pytest

from console.yard.new.templates import templates
from console.yard.placing.gaps import survey
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import SMALL_YARD, yard_of_text

HEAD = SMALL_YARD.split("[[bay]]")[0]
HOLD = templates()["hold"].text


@pytest.mark.parametrize("name", templates())
def test_a_template_pasted_into_a_minimal_yard_loads(name: str, library: GradeLibrary) -> None:
    """Every bay pattern loads where it is pasted, with its prices at nothing."""
    template = templates()[name]
    text = HEAD + template.text + ("" if name == "hold" else HOLD)

    yard = yard_of_text(text, library)

    assert len(yard.bays) == template.text.count("[[bay]]") + (name != "hold")
    assert all(bay.price_per_kg == 0.0 for bay in yard.bays)
    assert template.title and template.text.startswith(f"# {template.title}")


def test_all_templates_together_make_one_yard(library: GradeLibrary) -> None:
    """No code stands twice, and most of the library has a place; precious metals and the like have none."""
    yard = yard_of_text(HEAD + "".join(one.text for one in templates().values()), library)
    found = survey(yard, library)

    assert found.taken / found.total > 0.8
    bays = [bay for bay in yard.bays if not bay.is_hold]
    whole_groups = {grade.group for grade in library.grades} - {
        grade.group for grade in library.grades if any(bay.takes(grade.grade_id) for bay in bays)
    }
    assert whole_groups <= {"precious", "refractory", "brazing", "magnet", "carbide"}


@pytest.mark.parametrize("name", sorted(set(templates()) - {"hold"}))
def test_a_template_says_where_its_figures_come_from(name: str) -> None:
    """Each names a published entry with its document, or says that it is memory or common practice."""
    comments = " ".join(line for line in templates()[name].text.splitlines() if line.startswith("#"))

    assert "Published" in comments or "No published entry was seen" in comments
    assert any(word in comments for word in ("memory", "circular", "notice", "page", "guidelines"))


@pytest.mark.parametrize("name", templates())
def test_limits_of_one_piece_and_of_the_bay_say_what_they_are(name: str) -> None:
    """Every line with figures of composition names its source beside it."""
    for line in templates()[name].text.splitlines():
        if line.startswith(("element_limits", "chemistry")):
            assert "#" in line, line
