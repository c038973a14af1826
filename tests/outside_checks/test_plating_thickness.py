"""Thickness of the platings against the published standards."""

import pytest

from grade_library.skin.coatings import coating_named, sources

# Service classes as printed on platers' pages; see the source beside each.
STANDARDS = [
    ("zinc", 0, (5.0, 8.0, 12.0, 25.0), "ASTM B633 table 2, SC1 to SC4", "astm-b633"),
    (
        "tin",
        0,
        (1.5, 2.5, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0),
        "ASTM B545, classes F, A, B, C, D, E",
        "astm-b545",
    ),
    ("cadmium", 0, (5.1, 7.6, 12.7), "QQ-P-416F, classes 3, 2, 1", "qq-p-416f"),
    ("cadmium", 0, (5.0, 8.0, 12.0, 25.0), "ASTM B766", "astm-b766"),
    ("chromium over nickel", 0, (0.13, 0.25, 0.3), "ASTM B456, chromium in SC1 to SC5", "astm-b456"),
    ("chromium over nickel", 1, (10.0, 15.0, 25.0, 30.0, 35.0, 40.0), "ASTM B456, nickel", "astm-b456"),
    ("hot-dip zinc", 0, (45.0, 85.0), "a galvanizer's page (85 µm); ASTM A123 from memory", "hot-dip-page"),
    ("hard chromium", 0, (2.5, 25.0), "memory: 2.5 to 500 µm", "memory"),
]


@pytest.mark.parametrize(("name", "layer", "classes_um", "where", "key"), STANDARDS)
def test_every_class_lies_inside_the_usual_thickness(
    name: str, layer: int, classes_um: tuple[float, ...], where: str, key: str
) -> None:
    """The usual thickness of a coating spans the classes of its standard."""
    found = coating_named(name).layers[layer]
    assert found.least_um <= min(classes_um), where
    assert found.most_um >= max(classes_um), where
    assert key in sources()


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("zinc", "astm-b633"),
        ("chromium over nickel", "astm-b456"),
        ("tin", "astm-b545"),
        ("cadmium", "qq-p-416f"),
        ("hot-dip zinc", "hot-dip-page"),
        ("anodising", "mil-a-8625f"),
        ("silver", "astm-b700"),
        ("gold", "astm-b488"),
    ],
)
def test_the_standard_is_cited(name: str, key: str) -> None:
    """The thickness names the document that it comes from."""
    assert coating_named(name).sources["um"] == key


def test_most_of_an_anodic_film_lies_inside_the_types_of_its_standard() -> None:
    """Source: MIL-A-8625F types I to III (0.5 to 115 µm, memory); hard coat 25 to 64 µm on a page."""
    layer = coating_named("anodising").layers[0]
    assert 0.5 <= layer.least_um <= layer.most_um <= 115.0
