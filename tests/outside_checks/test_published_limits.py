"""Well-known limits of the grades a yard meets most, against the standards they are made to.

Source: stands beside each row. `memory` is recalled from the standard by a second reader, after reading the
library's tables, with no document seen; the other rows were read in the document or page they name. Carbide
and magnets have no standard limits: the usual range of the trade stands there. A row that fails is a slipped
digit here or there.
"""

import pytest

from grade_library.library import load
from grade_library.loading.notation import read_limit

# group, grade, element, limit as a grade file writes it, where it stands
LIMITS = [
    ("aluminium", "1100", "Cu", "0.05-0.2", "memory: AA Teal Sheets, 1100"),
    ("aluminium", "2024", "Cu", "3.8-4.9", "memory: AA Teal Sheets, 2024"),
    ("aluminium", "2024", "Mg", "1.2-1.8", "memory: AA Teal Sheets, 2024"),
    ("aluminium", "3003", "Mn", "1-1.5", "memory: AA Teal Sheets, 3003"),
    ("aluminium", "3004", "Mg", "0.8-1.3", "memory: AA Teal Sheets, 3004"),
    ("aluminium", "5052", "Cr", "0.15-0.35", "memory: AA Teal Sheets, 5052"),
    ("aluminium", "5083", "Mg", "4-4.9", "memory: AA Teal Sheets, 5083"),
    ("aluminium", "6061", "Cu", "0.15-0.4", "memory: AA Teal Sheets, 6061"),
    ("aluminium", "6063", "Mg", "0.45-0.9", "memory: AA Teal Sheets, 6063"),
    ("aluminium", "6082", "Mn", "0.4-1", "memory: EN 573-3, EN AW-6082"),
    ("aluminium", "7075", "Zn", "5.1-6.1", "memory: AA Teal Sheets, 7075"),
    ("aluminium", "356.0", "Si", "6.5-7.5", "memory: ASTM B26, 356.0"),
    ("aluminium", "A380.0", "Cu", "3-4", "memory: ASTM B85, A380.0"),
    ("aluminium", "A380.0", "Fe", "<=1.3", "memory: ASTM B85, A380.0"),
    ("aluminium", "413.0", "Si", "11-13", "memory: ASTM B85, 413.0"),
    ("brass", "C23000", "Cu", "84-86", "memory: ASTM B36, C23000"),
    ("brass", "C36000", "Fe", "<=0.35", "memory: ASTM B16, C36000"),
    ("brass", "C83600", "Sn", "4-6", "memory: ASTM B584, C83600"),
    ("brass", "C84400", "Pb", "6-8", "memory: ASTM B584, C84400"),
    ("brazing", "BCuP-5", "Ag", "14.5-15.5", "memory: AWS A5.8, BCuP-5"),
    ("brazing", "BAg-1", "Cd", "23-25", "memory: AWS A5.8, BAg-1"),
    ("bronze", "C54400", "Sn", "3.5-4.5", "memory: ASTM B139, C54400"),
    ("bronze", "C64200", "Si", "1.5-2.2", "memory: ASTM B150, C64200"),
    ("bronze", "C90300", "Zn", "3-5", "memory: ASTM B584, C90300"),
    ("bronze", "C93200", "Sn", "6.3-7.5", "memory: ASTM B584, C93200"),
    ("bronze", "C93500", "P", "<=0.05", "memory: ASTM B584, C93500"),
    ("bronze", "C95400", "Al", "10-11.5", "memory: ASTM B148, C95400"),
    ("carbide", "Tungsten carbide", "Co", "3-25", "memory: no standard, usual WC-Co hardmetals"),
    ("cast iron", "Ni-Resist 1", "Cu", "5.5-7.5", "memory: ASTM A436, Type 1"),
    ("cast iron", "Ni-Resist 2", "Ni", "18-22", "memory: ASTM A436, Type 2"),
    ("cobalt", "F75", "Mo", "5-7", "memory: ASTM F75"),
    ("cobalt", "MP35N", "Ni", "33-37", "memory: AMS 5844, R30035"),
    ("copper", "C10200", "O", "<=0.001", "memory: ASTM B152, C10200"),
    ("copper", "C17200", "Be", "1.8-2", "memory: ASTM B196, C17200"),
    ("copper", "C18200", "Cr", "0.6-1.2", "memory: RWMA class 2, C18200"),
    ("cupronickel", "C70600", "Ni", "9-11", "memory: ASTM B171, C70600"),
    ("cupronickel", "C71500", "Fe", "0.4-1", "memory: ASTM B171, C71500"),
    ("ferroalloy", "FeSi75", "Si", "72-80", "memory: ISO 5445, FeSi75"),
    ("ferroalloy", "FeV80", "V", "75-85", "memory: ISO 5451, FeV80"),
    ("lead", "Babbitt 7", "Sb", "14-16", "memory: ASTM B23, alloy 7"),
    ("lead", "Chemical lead", "Cu", "0.04-0.08", "memory: ASTM B29, L51121"),
    ("magnesium", "AM60B", "Al", "5.5-6.5", "memory: ASTM B94, AM60B"),
    ("magnesium", "AZ31B", "Zn", "0.6-1.4", "memory: ASTM B90, AZ31B"),
    ("magnesium", "AZ91D", "Al", "8.3-9.7", "memory: ASTM B94, AZ91D"),
    ("magnet", "NdFeB magnet", "B", "0.9-1.2", "memory: no standard, usual sintered Nd2Fe14B magnets"),
    ("master alloy", "CuMn30", "Mn", "28-32", "memory: EN 1981, CuMn30"),
    ("minor metal", "Silicon", "Fe", "<=2", "memory: trade, silicon metal, lower kinds"),
    ("nickel", "Alloy 600", "Cr", "14-17", "memory: ASTM B168, N06600"),
    ("nickel", "Alloy 800", "Ni", "30-35", "memory: ASTM B409, N08800"),
    ("nickel", "Alloy 825", "Mo", "2.5-3.5", "memory: ASTM B424, N08825"),
    ("nickel", "Alloy X", "W", "0.2-1", "memory: ASTM B435, N06002"),
    ("nickel", "C-276", "Mo", "15-17", "memory: ASTM B575, N10276"),
    ("nickel", "Nickel 201", "C", "<=0.02", "memory: ASTM B162, N02201"),
    ("nickel silver", "C77000", "Cu", "53.5-56.5", "memory: ASTM B122, C77000"),
    ("precious", "silver 958", "Ag", "=95.8", "memory: UK Hallmarking Act, Britannia silver"),
    ("refractory", "Tantalum-10W", "W", "9-11", "memory: ASTM B708, R05255"),
    ("refractory", "TZM", "Ti", "0.4-0.55", "memory: ASTM B386, alloy 363"),
    ("stainless", "304", "Cr", "17.5-19.5", "memory: ASTM A240, S30400"),
    ("stainless", "316", "Mo", "2-3", "memory: ASTM A240, S31600"),
    ("stainless", "216", "Cr", "17.5-22", "memory: ASTM A240, S21600"),
    ("stainless", "410", "Cr", "11.5-13.5", "memory: ASTM A240, S41000"),
    ("stainless", "2205", "Mo", "3-3.5", "memory: ASTM A240, S32205"),
    ("stainless", "17-4", "Nb", "0.15-0.45", "memory: ASTM A564, S17400"),
    ("stainless", "21-4N", "Cr", "20-22", "memory: SAE J775, EV8"),
    ("stainless", "HA", "Cr", "8-10", "memory: ASTM A217, C12"),
    ("steel", "SAE 1018", "Mn", "0.6-0.9", "memory: SAE J403, 1018"),
    ("steel", "SAE 4140", "C", "0.38-0.43", "memory: SAE J404, 4140"),
    ("steel", "SAE 4340", "Mo", "0.2-0.3", "memory: SAE J404, 4340"),
    ("steel", "SAE 8620", "Ni", "0.4-0.7", "memory: SAE J404, 8620"),
    ("steel", "SAE 12L14", "S", "0.26-0.35", "memory: SAE J403, 12L14"),
    ("tin", "Babbitt 2", "Sb", "7-8", "memory: ASTM B23, alloy 2"),
    ("tin", "Sn63Pb37", "Sn", "62.5-63.5", "memory: ASTM B32, Sn63"),
    ("titanium", "Ti Grade 2", "O", "<=0.25", "memory: ASTM B265, Grade 2"),
    ("titanium", "Ti-3Al-2.5V", "V", "2-3", "memory: ASTM B338, Grade 9"),
    ("titanium", "Ti-6Al-4V", "Al", "5.5-6.75", "memory: ASTM B265, Grade 5"),
    ("tool steel", "D2", "Cr", "11-13", "memory: ASTM A681, D2"),
    ("tool steel", "H13", "V", "0.8-1.2", "memory: ASTM A681, H13"),
    ("tool steel", "M2", "W", "5.5-6.75", "memory: ASTM A600, M2"),
    ("tool steel", "S7", "Cr", "3-3.5", "memory: ASTM A681, S7"),
    ("zinc", "Zamak 2", "Al", "3.5-4.3", "memory: ASTM B86 before 2013, AC43A"),
    ("zinc", "Zamak 5", "Cu", "0.75-1.25", "memory: ASTM B86 before 2013, AC41A"),
    ("zinc", "ZA-27", "Al", "25-28", "memory: ASTM B86, ZA-27"),
    ("aluminium", "AC4A", "Si", "8-10", "JIS H 5202:2010 table 4, page of an engine maker"),
    ("aluminium", "ADC5", "Mg", "4-8.5", "JIS H 5302:2006 table 2, page of an engine maker"),
    ("aluminium", "2099", "Li", "1.6-2", "producer's sheet on 2099-T83, composition limits"),
    ("aluminium", "E380.0", "Zn", "<=3", "die caster's page, table 1 of AA limits"),
    ("aluminium", "7449", "Zn", "7.5-8.7", "memory: AA Teal Sheets, 7449"),
    ("aluminium", "6069", "Cu", "0.55-1", "memory: AA Teal Sheets, 6069"),
    ("brass", "C27450", "Cu", "60-65", "rod mill's page, registered limits"),
    (
        "bronze",
        "CC762S",
        "Al",
        "3-7",
        "EN 1982 casting, foundry page; agrees: table of the copper association",
    ),
    ("bronze", "C95520", "Ni", "4.2-6", "ASTM B148, pipe dealer's page"),
    ("bronze", "C95900", "Al", "12-13.5", "ASTM B148, pipe dealer's page"),
    ("bronze", "CC333G", "Ni", "4-6", "memory: EN 1982 casting"),
    ("bronze", "CC334G", "Al", "10-12", "memory: EN 1982 casting"),
    ("carbide", "WC-6Co", "Co", "~5-~7", "memory: no standard, usual 6 % hardmetal"),
    ("cast iron", "Ni-Resist D-5S", "Si", "4.9-5.5", "memory: ASTM A439, D-5S"),
    ("cobalt", "S-816", "Nb", "3.5-4.5", "AMS 5765 on a data page"),
    ("copper", "C82500", "Be", "1.9-2.25", "memory: registered limits, C82500"),
    ("copper", "C17450", "Be", "0.15-0.5", "memory: registered limits, C17450"),
    ("cupronickel", "Manganin", "Mn", "11.5-13.5", "encyclopaedia article on manganin"),
    ("magnesium", "AM20", "Al", "1.6-2.6", "memory: EN 1753, MgAl2Mn"),
    ("nickel", "Nimonic 105", "Co", "18-22", "maker's bulletin, composition to BS HR 3"),
    ("nickel", "Nimonic 115", "Ti", "3.5-4.5", "maker's bulletin, composition list"),
    ("nickel", "Filler 82", "Mn", "2.5-3.5", "memory: AWS A5.14, ERNiCr-3"),
    ("stainless", "1.4306", "Ni", "10-12", "EN 10088-2 columns of a grade table"),
    ("stainless", "1.4311", "N", "0.12-0.22", "EN 10088-2 columns of a grade table"),
    ("stainless", "1.4432", "Mo", "2.5-3", "EN 10088-2 columns of a grade table"),
    ("stainless", "1.4436", "Ni", "10.5-13", "EN 10088-2 columns of a grade table"),
    ("stainless", "API 5CT L80-13Cr", "Cr", "12-14", "API 5CT table, pipe dealer's page"),
    ("stainless", "1.4460", "Ni", "4.5-6.5", "memory: EN 10088-3, X3CrNiMoN27-5-2"),
    ("stainless", "1.4109", "Cr", "14-16", "memory: EN 10088-3, X70CrMo15"),
    ("stainless", "1.4865", "Ni", "36-39", "memory: EN 10295, GX40NiCrSi38-19"),
    ("steel", "25CrMo4", "C", "0.22-0.29", "EN 10083-3:2006, technical card"),
    ("steel", "A533 Type B", "Ni", "0.4-0.7", "ASTM A533/A533M-16 table 1"),
    ("steel", "A615 Grade 60", "P", "<=0.06", "ASTM A615, rebar mill's page"),
    ("steel", "A706 Grade 60", "C", "<=0.3", "ASTM A706, table of chemical requirements"),
    ("steel", "API 5CT L80-1", "Mn", "<=1.9", "API 5CT table, pipe dealer's page"),
    ("steel", "API 5L X65", "Mn", "<=1.45", "API 5L PSL 1 table, welded pipe"),
    ("steel", "EN24", "Ni", "1.3-1.7", "BS 970:1991, 817M40, composition table"),
    ("steel", "P235GH", "Mn", "0.6-1.2", "EN 10028-2:2009, steel maker's page"),
    ("steel", "S355J0", "P", "<=0.03", "BS EN 10025-2:2004 table 2"),
    ("steel", "S700MC", "Mn", "<=2.1", "EN 10149-2 table, coil dealer's page"),
    ("steel", "WC9", "Cr", "2-2.75", "ASTM A217 table, pipe dealer's page"),
    ("tin", "SAC405", "Ag", "3.8-4.2", "solder table, nominal 4.0, with the band of J-STD-006"),
    ("titanium", "Ti Grade 36", "Nb", "42-47", "memory: ASTM B265, grade 36"),
    ("tool steel", "1.2550", "W", "1.7-2.2", "BS EN ISO 4957:2000 table 4, 60WCrV8"),
    ("tool steel", "1.3202", "V", "3.5-4", "memory: DIN 17350, HS12-1-4-5"),
    ("tool steel", "A11", "V", "9.25-10.25", "memory: ASTM A681, A11"),
    ("zinc", "Zamak 2", "Cu", "2.5-3", "memory: ASTM B86 before 2013, AC43A"),
    ("zinc", "ZA-8", "Fe", "<=0.075", "ASTM B86 before 2013, die caster's page"),
]


@pytest.mark.parametrize(("group", "grade_id", "element", "limit", "standard"), LIMITS)
def test_limit_is_the_published_one(
    group: str, grade_id: str, element: str, limit: str, standard: str
) -> None:
    """The grade stands in its group and its limit is the one of the standard, both ends."""
    grade = load().grade(grade_id)

    assert grade.group == group, standard
    assert grade.limits[element] == read_limit(limit), standard


def test_every_group_is_checked() -> None:
    """No group of the library is left without a limit that was recalled from outside it."""
    assert {group for group, *_ in LIMITS} == {grade.group for grade in load().grades}
