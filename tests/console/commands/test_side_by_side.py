"""Many pieces in several processes: the same answers in the same order, and nothing left behind."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from console.cli import main
from console.commands.side_by_side import AT_ONCE, WORTH_SHARING, in_order

ROOT = Path(__file__).parents[3]


def squared_by(number: int) -> tuple[int, int]:
    return number * number, os.getpid()


def test_results_come_in_the_order_of_the_items() -> None:
    """Whoever was quicker; the first is done here, the others are not."""
    found = list(in_order(squared_by, range(7 * AT_ONCE + 3), processes=2))

    assert [square for square, _ in found] == [n * n for n in range(7 * AT_ONCE + 3)]
    assert found[0][1] == os.getpid()
    assert os.getpid() not in {process for _, process in found[1:]}


def test_nothing_to_do_is_nothing_done() -> None:
    """No process is started for no items."""
    assert list(in_order(squared_by, range(0), processes=2)) == []


def test_few_items_stay_in_this_process() -> None:
    """No process is started for what is done sooner without."""
    found = list(in_order(squared_by, range(WORTH_SHARING - 1)))

    assert {process for _, process in found} == {os.getpid()}


def fails_at_fifty(number: int) -> int:
    if number == 50:
        raise ValueError("fifty")
    return number


def test_a_fault_of_the_work_is_told_where_it_belongs() -> None:
    """What was wrong with an item is raised in the caller once its turn comes."""
    found = in_order(fails_at_fifty, range(200), processes=2)

    assert [next(found) for _ in range(AT_ONCE + 1)] == list(range(AT_ONCE + 1))
    with pytest.raises(ValueError, match="fifty"):
        list(found)


def readings(folder: Path, pieces: int) -> Path:
    """Write a file of readings, every fifth of them odd."""
    rows = ["piece,Cr,Ni,Fe,Mn,Cu,Zn,Sn,Pb"]
    for n in range(pieces):
        odd = n % 5 == 0
        rows.append(f"P{n},{30 if odd else 18.2 + n % 3 / 10},8.1,{20 if odd else 71},1.2,0.3,{odd * 40},,")
    file = folder / "many.csv"
    file.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return file


def test_a_shared_file_reads_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two processes say of every piece what one says, in the order of the file."""
    file = str(readings(tmp_path, WORTH_SHARING + 10))
    monkeypatch.setattr("console.commands.side_by_side._processors", lambda: 2)
    assert main(["identify", "--readings", file, "--json"]) == 0
    shared = capsys.readouterr().out
    monkeypatch.setattr("console.commands.side_by_side._processors", lambda: 1)
    assert main(["identify", "--readings", file, "--json"]) == 0

    assert shared == capsys.readouterr().out
    assert [json.loads(line)["piece"] for line in shared.splitlines()] == [
        f"P{n}" for n in range(WORTH_SHARING + 10)
    ]


def children_of(process: int) -> set[int]:
    """Return the processes that a process started."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    return {int(one) for task in tasks for one in task.read_text().split()}


def is_gone(process: int) -> bool:
    """Tell whether a process ended; one that nobody has asked for its status yet counts as ended."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] == "Z"
    except OSError:
        return True


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="children are listed under /proc")
@pytest.mark.parametrize(("number", "status"), [(signal.SIGINT, 130), (signal.SIGKILL, -signal.SIGKILL)])
def test_a_stopped_command_leaves_no_process_behind(number: int, status: int, tmp_path: Path) -> None:
    """Ctrl C ends it with 130 and one sentence; where it is killed outright, its helpers end, too."""
    command = [
        *(sys.executable, "-c"),
        "import sys, console.commands.side_by_side as s; s._processors = lambda: 2; "
        "from console.cli import main; sys.exit(main(sys.argv[1:]))",
        *("identify", "--json", "--readings", str(readings(tmp_path, 20_000))),
    ]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        assert process.stdout is not None
        first = [json.loads(process.stdout.readline())["piece"] for _ in range(3)]
        helpers = children_of(process.pid)
        # A terminal sends Ctrl C to everybody in its group.
        os.killpg(process.pid, number) if number == signal.SIGINT else process.send_signal(number)
        _, complaint = process.communicate(timeout=60)

    end = time.monotonic() + 20.0
    while not all(map(is_gone, helpers)) and time.monotonic() < end:
        time.sleep(0.05)
    assert first == ["P0", "P1", "P2"]
    assert len(helpers) == 2
    assert all(map(is_gone, helpers))
    assert process.returncode == status
    assert "Traceback" not in complaint
    if number == signal.SIGINT:
        assert complaint.strip() == (
            "baywright identify: stopped; nothing is half-done, and what was confirmed is kept"
        )
