"""How US states are written in an address: by the two letters of the Post Office, by older abbreviations, in full."""

from __future__ import annotations

_STATES = """
AL ALA ALABAMA; AK ALASKA; AZ ARIZ ARIZONA; AR ARK ARKANSAS; CA CALIF CAL CALIFORNIA; CO COLO COLORADO;
CT CONN CONNECTICUT; DE DEL DELAWARE; DC D.C.; FL FLA FLORIDA; GA GEORGIA; HI HAWAII; ID IDA IDAHO; IL ILL ILLINOIS;
IN IND INDIANA; IA IOWA; KS KANS KAN KANSAS; KY KENTUCKY; LA LOUISIANA; ME MAINE; MD MARYLAND;
MA MASS MASSACHUSETTS; MI MICH MICHIGAN; MN MINN MINNESOTA; MS MISS MISSISSIPPI; MO MISSOURI; MT MONT MONTANA;
NE NEBR NEB NEBRASKA; NV NEV NEVADA; NH N.H. NEW_HAMPSHIRE; NJ N.J. NEW_JERSEY; NM N.M. N.MEX. NEW_MEXICO;
NY N.Y. NEW_YORK; NC N.C. N.CAR. NORTH_CAROLINA; ND N.D. N.DAK. NORTH_DAKOTA; OH OHIO; OK OKLA OKLAHOMA;
OR OREG ORE OREGON; PA PENNA PENN PENNSYLVANIA; RI R.I. RHODE_ISLAND; SC S.C. S.CAR. SOUTH_CAROLINA;
SD S.D. S.DAK. SOUTH_DAKOTA; TN TENN TENNESSEE; TX TEX TEXAS; UT UTAH; VT VERMONT; VA VIRGINIA;
WA WASH WASHINGTON; WV W.VA. WEST_VIRGINIA; WI WISC WIS WISCONSIN; WY WYO WYOMING
"""


def words_of(text: str) -> frozenset[str]:
    """The words of a list."""
    return frozenset(text.split())


_ENTRIES = [entry.split() for entry in _STATES.replace("\n", " ").split(";")]

CODES = frozenset(code for code, *_ in _ENTRIES) | {"NB"}
"""The two letters of each state, and NB, which was Nebraska's for a while."""
NAMES = frozenset(name for _, *names in _ENTRIES for name in names)
"""The other ways, with dots where they part letters; _ is a blank."""
SHARED = words_of("CT DC GA IA KY LA MD ME MO NC ND NH NJ NM NY PA RI SC SD VA VT")
"""Codes that older addresses have too, with or without dots; without a ZIP Code they tell nothing."""
WORDS = words_of("IN OR OK ME CO HI ID NE DE NB")
"""Codes that are words or other abbreviations as well: inside diameter, north-east, company."""
NEBRASKA = words_of("OMAHA LINCOLN HASTINGS FREMONT KEARNEY NORFOLK BEATRICE COLUMBUS")
"""Towns by which NB is Nebraska and not New Brunswick."""
NOT_A_TOWN = words_of(
    "MADE MANUFACTURED PATENTED BUILT USED USE PRINTED TESTED ASSEMBLED DESIGNED MODEL MODELS NO NOS TYPE SIZE SERIES "
    "SERIAL STYLE FORM PART FIG CAT CATALOG CODE NUMBER LOT ORDER PUSH PULL TURN LIGHT OPEN CLOSE ON OFF IN OUT OR AND "
    "WITH FOR ONLY GAS STOVE STOVES RANGE RANGES WORKS MFG COMPANY FOUNDRY BROS SONS APPLIANCE APPLIANCES "
    "MANUFACTURING OVEN BURNER WIDTH HEIGHT DEPTH THE TO OF AT IF WHEN"
)
"""Words behind which two letters are no state."""
