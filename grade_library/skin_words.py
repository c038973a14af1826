"""What to say and do about a skin, in the sorter's words."""

from collections.abc import Sequence

import numpy as np

from grade_library.coatings import all_coatings
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.skin_hypotheses import StageView

