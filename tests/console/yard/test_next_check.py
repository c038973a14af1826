"""The next check: what is advised, what it should gain, and what is never proposed."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from console.entry.parse import parse_line
from console.yard.metals import metals_of
from console.yard.next_check import choosing
from console.yard.next_check.advice import CheckAdvice
from console.yard.next_check.check_words import line_for, reading_meanings
from console.yard.next_check.checks import CheckKind, SorterTime, YardCheck
from console.yard.next_check.choosing import next_check
from console.yard.next_check.grades_at_hand import seed_of
from console.yard.next_check.observing import showing
from console.yard.placing.place import place
from console.yard.placing.worth_table import WorthTable
from console.yard.yard import Yard
from grade_library.facts import BenchFacts, Heft, MagnetPull, PieceFacts, Reading, Shot, Surface
from grade_library.grade import Colour
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import compiled_for
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from grade_library.verdict import Candidate, SkinVerdict, Verdict
from tests.yards import load_yard

DEMO = Path(__file__).parents[3] / "demo_yard"


@pytest.fixture(scope="module")
def yard(library: GradeLibrary) -> Yard:
    return load_yard(DEMO, library)


@pytest.fixture(scope="module")
def names(library: GradeLibrary) -> NameIndex:
    return NameIndex(library)


def advise(line: str, yard: Yard, library: GradeLibrary, names: NameIndex, **options: object) -> CheckAdvice:
    parsed = parse_line(line, names=names, yard=yard)
    assert not parsed.problems, parsed.problems
    verdict = identify(parsed.facts, library)
    placement = place(verdict, parsed.facts, parsed.mass_g, yard)
    return next_check(
        parsed.facts, verdict, placement, parsed.mass_g, yard, library, text=parsed.line, **options
    )


def of_kind(advice: CheckAdvice, kind: CheckKind) -> object:
    return next(one for one in advice.ranked if one.check.kind is kind)


def test_a_sure_piece_is_tallied(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """For a piece that is sure no check pays, and its bay is named."""
    advice = advise("12.4 6063 ext bare", yard, library, names)

    assert advice.best is None
    assert advice.line == "tally it, no check pays"
    assert advice.tally_bay == "AXC"


def test_a_heavy_open_piece_earns_a_check(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """For a heavy piece of which little is known the best check is offered with its gain."""
    advice = advise("20 casting m0", yard, library, names)

    assert advice.best is not None
    assert advice.best.net > 0.0
    assert advice.best == advice.ranked[0]
    assert advice.line.endswith("EUR")


@pytest.mark.parametrize(
    "line", ["12.4 6063 ext bare", "20 casting m0", "20g m0", "9 valve m0 hn", "400g 304", "8 cu62 zn35 pb3"]
)
def test_what_cannot_pay_is_not_worked_out_and_the_advice_is_the_same(
    line: str, yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """Whether checks were ranked or seen to be too dear beforehand, the best is the first that pays."""
    advice = advise(line, yard, library, names, with_readings=False)

    paying = [one for one in advice.ranked if not one.ruled_out and one.net > choosing.LEAST_NET]
    assert advice.best == (paying[0] if paying else None)


def test_checks_that_cannot_pay_are_not_ranked(
    yard: Yard, library: GradeLibrary, names: NameIndex, monkeypatch: pytest.MonkeyPatch
) -> None:
    """For a piece that is sure no finding is worked out before somebody asks for it."""
    asked: list[object] = []
    monkeypatch.setattr(choosing, "bench_findings", lambda *told: asked.append(told) or [])

    advice = advise("1 304 cr18.2 ni8.1 fe71.3 mn1.5 bare", yard, library, names, with_readings=False)

    assert advice.best is None and not asked
    assert len(advice.ranked) and asked


def test_a_scratch_says_what_to_look_for(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """Where only a scratch can be made, the line names the colours and the bays that they mean."""
    scratch = replace(yard, checks=(YardCheck(kind=CheckKind.SCRATCH, seconds=8.0),))

    advice = advise("9 valve m0 hn", scratch, library, names)

    assert advice.best is not None
    codes = {bay.code for bay in yard.bays}
    assert advice.line.startswith("scratch it: ")
    for meaning in advice.best.meanings:
        assert set(meaning.finding.split(" or ")) <= {colour.value for colour in Colour}
        assert meaning.bay_code in codes
    assert any(f"{one.finding} means {one.bay_code}" in advice.line for one in advice.best.meanings)


def test_a_tiny_open_piece_goes_where_it_is_worth_most(
    yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """Neither a check nor a second look pays for 20 g; the advice names a bay instead of the hold shelf."""
    advice = advise("20g m0", yard, library, names)

    assert advice.best is None
    assert advice.tally_bay != yard.hold_bay.code
    assert advice.line == f"tally it into {advice.tally_bay}, neither a check nor a second look pays"


def test_a_piece_that_waits_stays_on_hold_without_checks(
    yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """A yard without checks can only hold a heavy open piece."""
    bare = replace(yard, checks=())

    advice = advise("40 casting m0", bare, library, names)

    assert advice.best is None
    assert advice.ranked == ()
    assert advice.tally_bay == yard.hold_bay.code


def test_the_same_piece_gets_the_same_advice(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """The same line gets the same advice."""
    assert advise("7 m1 bar", yard, library, names) == advise("7 m1 bar", yard, library, names)


def test_another_seed_draws_other_readings(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """The gain of a reading is an estimate: other draws move it a little, and only a little."""
    gains = [
        of_kind(advise("15 m2", yard, library, names, seed=seed), CheckKind.READING).gain for seed in range(6)
    ]

    assert len(set(gains)) > 1
    assert np.std(gains) < 0.5 * abs(np.mean(gains))


def test_the_seed_comes_from_the_facts() -> None:
    """The same for equal facts in whatever order the surfaces were typed, another for other facts."""
    one = PieceFacts(
        bench=BenchFacts(magnet=MagnetPull.NONE, surfaces=frozenset({Surface.OILY, Surface.PAINTED}))
    )
    two = PieceFacts(
        bench=BenchFacts(magnet=MagnetPull.NONE, surfaces=frozenset({Surface.PAINTED, Surface.OILY}))
    )
    other = PieceFacts(bench=BenchFacts(magnet=MagnetPull.WEAK))

    assert seed_of(one) == seed_of(two) == 1506493215
    assert seed_of(one) != seed_of(other)


def test_dear_time_makes_checks_rarer(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """At a thousand an hour nothing pays for a piece that earned a check at twenty."""
    dear = replace(yard, sorter=SorterTime(cost_per_hour=1000.0))

    cheap = replace(yard, sorter=SorterTime(cost_per_hour=20.0))
    assert advise("1 m2", cheap, library, names).best is not None
    assert advise("1 m2", dear, library, names).best is None


@pytest.mark.parametrize("line", ["8 m0 kr spring", "8 c17200 m0", "8 m0 cu97.6 be1.9 co0.3"])
def test_beryllium_is_never_filed_ground_or_sparked(
    line: str, yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """While a candidate carries beryllium, nothing that makes dust is proposed, whatever it would gain."""
    advice = advise(line, yard, library, names)

    for kind in (CheckKind.FILE, CheckKind.GRIND, CheckKind.SPARK):
        found = [one for one in advice.ranked if one.check.kind is kind]
        assert all(one.ruled_out for one in found), kind
    assert advice.best is None or advice.best.check.kind not in {
        CheckKind.FILE,
        CheckKind.GRIND,
        CheckKind.SPARK,
    }


def test_cadmium_in_words_rules_grinding_out(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """A word of cadmium rules grinding out."""
    advice = advise("8 m2 plated fastener ; cad plated?", yard, library, names)

    assert of_kind(advice, CheckKind.GRIND).ruled_out == "caution: cadmium"


def test_a_possible_source_is_not_touched(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """With a word of radiation no check at all is proposed."""
    advice = advise("8 m0 ; trefoil on the label", yard, library, names)

    assert advice.best is None
    assert all(one.ruled_out for one in advice.ranked)


def test_a_painted_piece_is_not_shot_as_it_lies(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """A painted piece is neither shot through its paint nor sparked."""
    advice = advise("9 painted m2", yard, library, names)

    assert of_kind(advice, CheckKind.READING).ruled_out == "it would read a painted surface"
    assert of_kind(advice, CheckKind.SPARK).ruled_out == "never on a painted piece"


def test_a_check_by_grinding_says_what_to_wear(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """The line that proposes to grind is the moment when a face shield matters."""
    grind = replace(yard, checks=(YardCheck(kind=CheckKind.GRIND, seconds=60.0),))

    advice = advise("30 painted m2", grind, library, names)

    assert advice.best is not None
    assert advice.line.startswith("grind a spot, face shield on, and shoot it")


def test_what_is_known_is_not_asked_again(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """A check whose answer stands on the line is not offered."""
    advice = advise("9 m0 sy hl d2.70", yard, library, names)

    kinds = {one.check.kind for one in advice.ranked}
    assert not kinds & {CheckKind.MAGNET, CheckKind.SCRATCH, CheckKind.FILE, CheckKind.HEFT, CheckKind.WATER}


def test_without_readings_none_is_drawn_and_the_advice_says_so(
    yard: Yard, library: GradeLibrary, names: NameIndex, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The quick advice draws no reading and takes a usual loss instead."""
    drawn: list[object] = []
    monkeypatch.setattr(choosing, "draw_readings", lambda *_, **__: drawn.append(1))

    quick = advise("5 m0", yard, library, names, with_readings=False)

    assert not drawn
    assert of_kind(quick, CheckKind.READING).gain > 0.0
    advise("5 m0", yard, library, names)
    assert drawn


@pytest.mark.parametrize(
    "kind", [kind for kind in CheckKind if kind not in {CheckKind.READING, CheckKind.GRIND}]
)
def test_chances_of_a_check_sum_to_one(kind: CheckKind, library: GradeLibrary) -> None:
    """For every grade and every unlisted alloy, over everything that the check can show."""
    shown = showing(kind, PieceFacts(), library)

    assert shown is not None
    assert shown.chances.sum(axis=0) == pytest.approx(np.ones(len(metals_of(library))))
    assert (shown.chances >= 0.0).all()


def test_the_error_rates_are_the_matchers(library: GradeLibrary) -> None:
    """Weighing by the chances of a finding is what the matcher does once the finding is noted."""
    before = PieceFacts(bench=BenchFacts(magnet=MagnetPull.NONE))
    after = PieceFacts(bench=BenchFacts(magnet=MagnetPull.NONE, scratch=Colour.YELLOW))
    shown = showing(CheckKind.SCRATCH, before, library)
    assert shown is not None

    was = {c.grade.grade_id: c.probability for c in identify(before, library).candidates}
    now = {c.grade.grade_id: c.probability for c in identify(after, library).candidates}
    both = [grade_id for grade_id in was if grade_id in now]
    row = shown.outcomes.index(Colour.YELLOW.value)
    ratio = {g: now[g] / (was[g] * shown.chances[row, library.index_of(g)]) for g in both}

    assert len(both) >= 1
    assert max(ratio.values()) == pytest.approx(min(ratio.values()), rel=1e-6)
    assert compiled_for(library) is compiled_for(library)


def test_a_reading_that_fits_nothing_asks_for_a_ground_spot(yard: Yard, library: GradeLibrary) -> None:
    """Another shot of the same surface is not proposed, a ground one is; until then the piece waits."""
    shot = Shot(reading=Reading(values={"Cu": 40.0, "Ti": 35.0, "Zr": 25.0}))
    facts = PieceFacts(shots=(shot,), bench=BenchFacts(magnet=MagnetPull.NONE, heft=Heft.LIGHT))
    verdict = Verdict(candidates=(), unlisted=0.99, no_family=0.99)

    advice = next_check(facts, verdict, place(verdict, facts, 9000, yard), 9000, yard, library)

    assert advice.best is not None
    assert advice.best.check.kind is CheckKind.GRIND
    assert of_kind(advice, CheckKind.READING).ruled_out == "the surface reads as nothing in the library"
    assert advice.tally_bay == yard.hold_bay.code


def test_a_reading_of_a_plating_says_which(yard: Yard, library: GradeLibrary) -> None:
    """Where the matcher suspects a skin, the core that it names is what counts, and a ground spot what is
    asked."""
    shot = Shot(reading=Reading(values={"Ni": 90.0, "Cu": 6.0, "Zn": 4.0}))
    core = tuple(
        Candidate(grade=library.grade(grade), probability=share)
        for grade, share in (("C36000", 0.5), ("Zamak 3", 0.5))
    )
    skin = SkinVerdict(
        is_suspected=True,
        coating="bright nickel",
        probability=0.95,
        shares=(0.9,),
        has_arrived=False,
        core=core,
    )
    facts = PieceFacts(shots=(shot,), bench=BenchFacts(magnet=MagnetPull.NONE))
    verdict = Verdict(candidates=core, unlisted=0.0, skin=skin)

    advice = next_check(facts, verdict, place(verdict, facts, 9000, yard), 9000, yard, library)

    assert advice.best is not None
    assert advice.best.check.kind is CheckKind.GRIND
    assert of_kind(advice, CheckKind.READING).ruled_out == "it would read bright nickel"
    assert {meaning.bay_code for meaning in advice.best.meanings} <= {"YBR", "ZDC", "HLD", "RBZ"}


def test_beryllium_copper_stays_on_hold(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """No bay takes it, x-rays do not see its beryllium, and it is no metal to be rid of into the nearest
    bay."""
    advice = advise("8 c17200 m0", yard, library, names)

    assert advice.best is None
    assert advice.tally_bay == yard.hold_bay.code
    assert advice.line == "hold it, no check here pays"


def test_a_possible_source_is_left_alone_in_words(
    yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """Of a possible radioactive source nothing is tried; it goes on hold."""
    advice = advise("0.2 m0 ; trefoil on the label", yard, library, names)

    assert advice.line == "nothing is tried on it: possible radioactive source"
    assert advice.tally_bay == yard.hold_bay.code


SUPERALLOY = "3 lab ni54 cr14 fe7 mo6 nb3.4 co8 w4 al1.9 ti1.7"


def test_an_alloy_that_the_library_lacks_needs_no_check_where_a_bay_takes_its_family(
    yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """A nickel superalloy goes to the bay of nickel alloys; where that bay names grades it waits."""
    advice = advise(SUPERALLOY, yard, library, names)
    by_grade = replace(yard, bays=tuple(replace(bay, kinds=frozenset()) for bay in yard.bays))

    assert (advice.tally_bay, advice.line) == ("NIX", "tally it, no check pays")
    assert of_kind(advice, CheckKind.HEFT).ruled_out == "whatever it shows, the piece goes to NIX"
    assert advise(SUPERALLOY, by_grade, library, names).tally_bay == yard.hold_bay.code


@pytest.mark.parametrize(
    ("line", "kind", "words"),
    [
        ("2 xrf cu64 zn18 ni16", CheckKind.FILE, "file it: white through and through is nickel silver"),
        (
            "1 xrf mn.76 cr15.4 fe74.4 ni7.6",
            CheckKind.MAGNET,
            "try the magnet: a strong pull is chromed steel",
        ),
    ],
)
def test_a_look_alike_of_a_skin_names_what_splits_it(
    line: str, kind: CheckKind, words: str, yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """Plated brass reads as nickel silver, chromed steel as a lean stainless: the cheapest check is named
    with what each answer means, whatever it gains in money, and not where it was made already."""
    advice = advise(line, yard, library, names)
    hand = " m0" if kind is CheckKind.MAGNET else " sy"

    assert advice.line.startswith(words)
    assert advice.best is not None and advice.best.check.kind is kind
    assert not advise(line + hand, yard, library, names).line.startswith(words)


def test_nothing_has_to_be_split_where_the_piece_is_settled(
    yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """A skin that is hardly likely, over metal that goes to the same bay for sure, asks for no file."""
    parsed = parse_line("12.4 6063 ext bare", names=names, yard=yard)
    bare = identify(parsed.facts, library)
    for chance, line in ((0.05, "tally it, no check pays"), (0.3, "file it: white is bare, red is not")):
        skin = SkinVerdict(
            is_suspected=False,
            coating=None,
            probability=chance,
            shares=(0.0,),
            has_arrived=False,
            core=(),
            tell="file it: white is bare, red is not",
        )
        verdict = replace(bare, skin=skin)
        placement = place(verdict, parsed.facts, parsed.mass_g, yard)
        advice = next_check(parsed.facts, verdict, placement, parsed.mass_g, yard, library)

        assert (placement.sureness == "settled") == (chance < 0.1)
        assert advice.line == line


@pytest.mark.parametrize(
    "line", ["2 m1 alu", "5 phosphor bronze", "7 304", "20 casting m0", "6 m2", "3 copper"]
)
def test_what_is_proposed_moves_or_settles_the_piece(
    line: str, yard: Yard, library: GradeLibrary, names: NameIndex
) -> None:
    """A check that may be proposed leads to two bays at least, or to the same one settled; all others say why
    they are of no use."""
    for one in advise(line, yard, library, names).ranked:
        if one.meanings and not one.ruled_out:
            assert len({meaning.bay_code for meaning in one.meanings}) > 1 or one.meanings[0].settles
        if one.ruled_out.startswith("whatever it shows"):
            assert len({meaning.bay_code for meaning in one.meanings if not meaning.settles}) <= 1


def test_a_finding_that_settles_is_told_as_such(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """Where every finding means one bay, the line says which of them settle it."""
    heft = replace(yard, checks=(YardCheck(kind=CheckKind.HEFT, seconds=0.0),))

    [one] = advise("5 phosphor bronze", heft, library, names).ranked
    [meaning] = one.meanings

    assert (meaning.finding, meaning.bay_code, meaning.settles) == ("heavy", "RBZ", True)
    assert one.ruled_out == ""
    situation = WorthTable.of(yard, library).situation(PieceFacts(), np.array([0]), 1.0)
    assert line_for(one, yard, situation).startswith("heft it: heavy settles RBZ; gains")


def without_prices(yard: Yard) -> Yard:
    return replace(
        yard, bays=tuple(replace(bay, price_per_kg=0.0, downgrade_per_kg=0.0) for bay in yard.bays)
    )


def test_without_prices_the_buyers_word_decides(yard: Yard, library: GradeLibrary, names: NameIndex) -> None:
    """A fresh yard gets the same kind of advice, weighed by whether the buyer takes the piece."""
    fresh = without_prices(yard)

    advice = advise("20 casting m0", fresh, library, names)

    assert advice.best is not None and advice.best.net > 0.0
    assert advice.line.endswith("likelier")
    assert "EUR" not in advice.line
    assert advise("12.4 6063 ext bare", fresh, library, names).line == "tally it, no check pays"
    assert advise("9 casting m0", fresh, library, names).line == advice.line.replace("20", "9")


@pytest.mark.parametrize(("technique", "asks"), [("lab", "C above"), ("xrf", "")])
def test_an_element_that_the_analyser_does_not_see_is_not_asked_for(
    technique: str, asks: str, yard: Yard, library: GradeLibrary
) -> None:
    """Spring steel and mild steel are told apart by carbon, which x-rays do not see: they are not asked."""
    ids = ("SAE 1010", "SAE 1095")
    soft, hard = (
        replace(
            yard.bay("FER"), code=code, grade_ids=frozenset({one}), kinds=frozenset(), refused_ids=frozenset()
        )
        for code, one in zip(("SOF", "HRD"), ids, strict=True)
    )
    steels = replace(yard, bays=(soft, hard, yard.hold_bay))
    rows = np.array([library.index_of(one) for one in ids])
    situation = WorthTable.of(steels, library).situation(PieceFacts(), rows, 1.0)
    profile = yard.techniques[technique]

    told = reading_meanings(
        np.array([0, 1, 1]), situation, yard.hold_bay, library, profile, rows, np.array([0.5, 0.5])
    )

    by_bay = {meaning.bay_code: meaning.finding for meaning in told}
    assert by_bay["HRD"].startswith(asks) and not by_bay["SOF"].startswith("C above")
    assert not {finding.split()[0] for finding in by_bay.values() if finding} & profile.unseen


@pytest.mark.parametrize("grade_id", ["301", "C36000"])
def test_a_reading_tells_of_the_magnet_where_it_can(grade_id: str, library: GradeLibrary) -> None:
    """Asked of the metals at hand alone, the chances are those that the whole table holds for them."""
    reading = Reading(values={"Cr": 18.2, "Ni": 13.5, "Fe": 66.0}, technique="xrf")
    facts = PieceFacts(shots=(Shot(reading=reading),))
    rows = np.array([library.index_of(grade_id)])

    every, at_hand = (showing(CheckKind.MAGNET, facts, library, one) for one in (None, rows))

    assert every is not None
    assert at_hand is not None
    assert at_hand.chances[:, rows] == pytest.approx(every.chances[:, rows])
