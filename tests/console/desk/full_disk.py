"""A desk on a disk that fills up; run as a process of its own, on a small disk of its own.

`python -m tests.console.desk.full_disk FOLDER YARD_TOML [LONGEST]` prints one JSON object. With LONGEST no
disk need be full: the system refuses to make any file longer [bytes], until there is room again.
"""

import json
import resource
import shutil
import signal
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from console.desk import Desk, DeskRefusal
from console.ledger.keeping.backup import backup
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreError
from console.ledger.rows.queries import LedgerReader

FILLER_BYTES = 1_500_000


def main() -> None:
    """Fill the disk with pieces, try everything else, make room, go on, and look whether all is there."""
    folder, yard_file = Path(sys.argv[1]), Path(sys.argv[2])
    shutil.copy(yard_file, folder)
    filler = folder / "filler"
    filler.write_bytes(b"x" * FILLER_BYTES)
    if len(sys.argv) > 3:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[3]), resource.RLIM_INFINITY))
    desk = Desk.open(folder, now=lambda: datetime.now(UTC))
    said: dict[str, object] = {}
    kept, said["piece"] = _until_refused(desk)
    said["note"] = _refusal(lambda: desk.note("y" * 200_000))
    said["draw_down"] = _refusal(lambda: desk.bays.draw_down("STN", "5", "sold"))
    said["close_out"] = _refusal(lambda: desk.closing.close_run("no scale"))
    said["backup"] = _refusal(lambda: backup(desk.ledger.path, folder / "copy.sqlite3"))
    said["left_over"] = sorted(
        file.name for file in folder.iterdir() if file.name.startswith((".", "bale", "handover", "copy"))
    )
    said["is_open"] = not desk.run().is_closed
    filler.unlink()
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    desk.tally(desk.consider("12.4 304"))
    desk.bays.draw_down("STN", "5", "sold")
    handover = desk.closing.close_run("no scale").made
    said["handover"] = handover.read_text(encoding="utf-8").splitlines()[0]
    desk.close()
    with LedgerReader.open(folder / "yard.sqlite3") as reader:
        said["findings"] = len(verify(reader).findings)
        said["pieces"] = reader.connection.execute(
            "SELECT count(*) FROM ledger WHERE kind = 'piece'"
        ).fetchone()[0]
    said["kept"] = kept + 1
    print(json.dumps(said))


def _until_refused(desk: Desk) -> tuple[int, str]:
    """Tally pieces until the disk refuses one; return how many were taken, and what was said."""
    considered = desk.consider(f"12.4 304 cr18.2 ni8.1 fe71 ; {'bent ' * 100}")
    kept = 0
    while not (refused := _refusal(lambda: desk.tally(considered))):
        kept += 1
    return kept, refused


def _refusal(act: Callable[[], object]) -> str:
    """Do an act; return what it was refused with, empty where it was done."""
    try:
        act()
    except (DeskRefusal, StoreError) as refused:
        return str(refused)
    return ""


if __name__ == "__main__":
    main()
