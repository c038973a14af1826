"""What is installed is what was tested: locked by hash, and a wheel and an sdist that work by themselves."""

import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
PINNED = re.compile(r"^([A-Za-z0-9_.-]+)==([^ ;\\\\]+)", re.MULTILINE)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A wheel and an sdist of the tree as it is."""
    folder = tmp_path_factory.mktemp("built")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", str(folder)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    (sdist,) = folder.glob("*.tar.gz")
    with tarfile.open(sdist) as tar:
        tar.extractall(folder / "unpacked", filter="data")
    (tree,) = (folder / "unpacked").iterdir()
    # The wheel is built from what the sdist holds, so that neither can miss a file.
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=tree, check=True, capture_output=True,
    )  # fmt: skip
    (wheel,) = folder.glob("*.whl")
    return wheel, sdist


@pytest.mark.parametrize(("lock", "extras"), [("run", ["build"]), ("test", ["build", "test"])])
def test_the_lock_holds_every_requirement_by_hash(lock: str, extras: list[str]) -> None:
    """Each requirement of pyproject.toml is pinned within its bounds, and every pin has hashes."""
    text = (ROOT / ".locked" / f"{lock}.txt").read_text(encoding="utf-8")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [
        *project["dependencies"],
        *(one for extra in extras for one in project["optional-dependencies"][extra]),
    ]
    pins: dict[str, list[str]] = {}
    for name, version in PINNED.findall(text):
        pins.setdefault(name.lower().replace("_", "-"), []).append(version)

    for requirement in map(Requirement, wanted):
        versions = pins.get(requirement.name.lower().replace("_", "-"), [])
        assert versions and all(version in requirement.specifier for version in versions), requirement
    blocks = re.split(r"\n(?=[a-z])", text.strip())
    assert len(blocks) == sum(map(len, pins.values()))
    assert all("--hash=sha256:" in block for block in blocks)


def test_the_commands_of_the_readme_install_from_the_locks() -> None:
    """Both commands ask for hashes, take no package beside the lock, and build with nothing from outside."""
    commands = re.findall(
        r"^python3 -m venv.*$", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE
    )

    assert len(commands) == 2
    for command, lock in zip(commands, ("run", "test"), strict=True):
        assert f"--require-hashes -r .locked/{lock}.txt" in command
        assert "--no-deps --no-build-isolation" in command


def test_the_wheel_works_by_itself(built: tuple[Path, Path], tmp_path: Path) -> None:
    """Installed away from the tree, the wheel has its data, templates, pages and demo yard, and answers."""
    wheel, _ = built
    site = tmp_path / "site"
    install = ["install", "--quiet", "--no-deps", "--no-index", "--target", str(site), str(wheel)]
    subprocess.run([sys.executable, "-m", "pip", *install], check=True, capture_output=True)

    def run(*words: str) -> str:
        code = f"import sys; sys.path.insert(0, {str(site)!r}); from console.cli import main; "
        code += f"sys.exit(main({list(words)!r}))"
        done = subprocess.run(
            [sys.executable, "-I", "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    yard = str(tmp_path / "yard")
    run("new", yard, "--yes")
    (tmp_path / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    assert "304" in run("enter", str(tmp_path / "lines.txt"), "--yard", yard)
    assert "<html" in run("handover", "--html", "--yard", yard)
    assert "<html" in run("office", "--form", "html", "--yard", yard)
    assert "stainless" in run("bays", "--templates")
    assert "S30400" in run("grade", "304")


def test_wheel_and_sdist_hold_every_file_of_the_program(built: tuple[Path, Path]) -> None:
    """What git keeps of console and grade_library stands in both, and nothing of the tests in the wheel."""
    wheel, sdist = built
    listed = subprocess.run(
        ["git", "ls-files", "console", "grade_library"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()
    in_wheel = set(zipfile.ZipFile(wheel).namelist())
    with tarfile.open(sdist) as tar:
        in_sdist = {name.split("/", 1)[1] for name in tar.getnames() if "/" in name}

    assert set(listed) <= in_wheel
    assert {*listed, "README.md", "pyproject.toml", "demo_yard/yard.toml"} <= in_sdist
    assert "console/yard/new/demo/yard.toml" in in_wheel
    assert not [name for name in in_wheel if name.startswith("tests")]
