"""Plain words with one meaning each, and the page that tells them."""

import re
from pathlib import Path

from textual.widgets import Static

from console.drawing.bay_rows import AT_RISK, BROKEN
from console.drawing.figures import bar
from console.drawing.limit_rows import Stands
from console.drawing.piece_rows import VOID
from console.ground.figures import NO_NAME
from console.panes.piece.candidates_pane import UNLISTED
from console.screens.help.glossary_page import GLOSSARY, LABEL
from console.yard.placing.placement import Sureness
from grade_library.cautions import Level
from tests.driven.driving import console

GONE = ("by itself", "ruled out", "unlisted", "draw-down", "drawn down", "own bay", "suggested")


async def test_the_words_that_nobody_understood_are_gone_from_the_screens(yard: Path) -> None:
    """From the piece at hand, a bay beside the advice, the review, the bays and the handover."""
    async with console(yard, size=(160, 45)) as driver:
        await driver.enter("12.4 304 m0 fer")
        await driver.type("8.05 cr18.2 ni8.1 fe71.4 m0")
        seen = [driver.picture()]
        await driver.press("f6")
        seen.append(driver.picture())
        assert "how sure" in seen[-1] and "chosen" in seen[-1]
        await driver.press("escape", "ctrl+f", "2", "enter")
        seen.append(driver.picture())
        driver.desk.bays.draw_down("FER", "12", "north buyer")
        seen.append(driver.desk.closing.handover_so_far())
        await driver.press("escape", "f4")
        seen.append(driver.picture())
        await driver.press("f9")
        seen.append(driver.picture())

    assert [(word, n) for word in GONE for n, text in enumerate(seen) if word in text.casefold()] == []


async def test_the_glossary_is_a_page_of_its_own_and_the_end_of_the_help(yard: Path) -> None:
    """Picked by a word in the list of actions; each word has one line of meaning, and none stands twice."""
    async with console(yard) as driver:
        await driver.press("f9")
        await driver.enter("words: what settled")
        page = str(driver.app.screen.query_one("#text", Static).render())
        await driver.press("escape", "f1")
        text = str(driver.app.screen.query_one("#text", Static).render())

        whole = " ".join(page.split())
        assert [word for word, meaning in GLOSSARY if f"{word} {meaning}" not in whole] == []
        assert all(len(row) <= 80 for row in page.split("\n"))
        assert "What the words mean" in text
        assert len({word for word, _ in GLOSSARY}) == len(GLOSSARY)


def test_every_word_of_ours_that_stands_for_a_state_is_in_the_glossary() -> None:
    """Sureness, limits, chemistry, cautions, names, acts on a piece: by the words that the screens draw."""
    drawn = {
        *Sureness,
        *(str(one) for one in Stands if one is not Stands.NOT_READ),
        *(level.value.upper() for level in Level),
        *(AT_RISK, BROKEN, "kept", NO_NAME, UNLISTED, VOID.casefold(), "hold", "chosen", "mended"),
        *("limit", "bale", "twins", "alone", "worth", "accepted", "advised", "how sure", "nearest", "stray"),
        *("±", "σ", "U", "guard band", "residual", "rest", "ticket", "tare", "gross", "net", "tolerance"),
        *(
            "consignment",
            "draft",
            "lot",
            "re-check",
            "second look",
            "check sample",
            "in control",
            "load",
            "tag",
        ),
    }
    told = {part for word, _ in GLOSSARY for part in re.split(r", | = ", word)}
    told |= set(re.findall(r"(\w+):", dict(GLOSSARY)["how sure"]))

    assert {str(word) for word in drawn} - told == set()


async def test_keys_words_and_meanings_of_the_help_stand_in_columns(yard: Path) -> None:
    """Every key in the first six columns, its word behind them, what it does from the same column on."""
    async with console(yard) as driver:
        await driver.press("f1")
        rows = str(driver.app.screen.query_one("#text", Static).render()).split("\n")
        begin = rows.index("Keys while sorting")
        keys = [row for row in rows[begin + 1 : rows.index("Keys on every screen")] if row.strip()]

        assert len(keys) > 30
        assert not any(row[6:8].strip() or row[LABEL - 1].strip() for row in keys)
        assert all(row[8:LABEL].strip() for row in keys if row[0] != " ")
        assert all(row[LABEL] != " " for row in keys)


def test_a_share_of_one_percent_looks_unlike_one_of_twenty() -> None:
    """In the narrow bars of a small screen and in the wide ones."""
    for width in (5, 8, 12):
        assert len({bar(share, width) for share in (0.0, 0.01, 0.2)}) == 3
