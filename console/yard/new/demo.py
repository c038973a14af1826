"""The demo yard: where its file lies, and a copy of it to work in."""

import shutil
from pathlib import Path

import platformdirs

from console.yard.errors import YardFileError

YARD_FILE = "yard.toml"
READINGS_FOLDER = "readings"


def open_demo(folder: Path | None = None) -> Path:
    """Return the demo yard, copied the first time; what was tallied there before is still there.

    Args:
        folder: Where it shall lie; None for a folder of the person who runs the program.

    Raises:
        YardFileError: It cannot be copied.
    """
    folder = folder or Path(platformdirs.user_data_dir("baywright", appauthor=False)) / "demo_yard"
    file = folder / YARD_FILE
    if not file.is_file():
        try:
            # The yard file last: while it is missing the copy is made anew.
            shutil.copytree(_shipped() / READINGS_FOLDER, folder / READINGS_FOLDER, dirs_exist_ok=True)
            shutil.copy(_shipped() / YARD_FILE, file)
        except OSError as error:
            raise YardFileError(f"The demo yard cannot be copied to {folder}: {error.strerror}.") from error
    return folder


def three_yards_file() -> Path:
    """Return the file of the three yards that a trial of the office is made of."""
    return _shipped() / "three_yards.toml"


def _shipped() -> Path:
    """Return the folder as it was installed: beside this module, in a clone at the top level."""
    here = Path(__file__).resolve()
    installed = here.with_name("demo")
    return installed if (installed / YARD_FILE).is_file() else here.parents[3] / "demo_yard"
