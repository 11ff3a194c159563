#!/usr/bin/env python3
"""Start Batchwright from a checkout: standard library only, and nothing to activate.

    python3 run.py                  open the page on a working copy of the demo, kept in projects/
    python3 run.py test [SECTION]   run the checks: all of them, or one section
    python3 run.py ARGS...          anything else goes to the batchwright command

The first start makes a private environment in .venv (or where BATCHWRIGHT_ENV says); later starts find it there.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
OLDEST = (3, 11)
CANNOT = 3
LOCK = "batchwright.lock"
DEMO = ROOT / "examples" / "terrace-armchair"
DEMO_JOB = "terrace.job.yaml"
PROJECTS = ROOT / "projects"
OF_SERVE = ("--no-open", "--port", "--json")
"""Words with which run.py may begin where no command is named: they are those of `serve`."""
CORE_FLOORS = ("base", "handbook", "geometry", "model", "solids", "joinery")
ENTRY = "import sys; sys.argv[0] = 'batchwright'; from batchwright.cli import main; sys.exit(main())"

FOLDERS = {
    "unit": "tests/unit",
    "published": "tests/published",
    "property": "tests/property",
    "golden": "tests/golden",
    "house": "tests/house",
    "acceptance": "tests/acceptance",
    "browser": "tests/browser",
}
BENCH = ROOT / "benchmarks" / "run.py"
TOOLS = {
    "lint": (("ruff", "check", "."), ("importlinter",)),
    "types": (("mypy",),),
}
TOOL_CODE = {"importlinter": "import sys; from importlinter.cli import lint_imports_command as go; sys.exit(go())"}


class CannotStartError(Exception):
    """Something the machine lacks: what, and how to mend it."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"cannot start: {what}\n    mend: {mend}")


# --- what the machine must have


def check_python() -> None:
    """Refuse a Python that is too old, and name a newer one if it is at hand."""
    if sys.version_info >= OLDEST:
        return
    wanted = ".".join(map(str, OLDEST))
    newer = [name for name in ("python3.14", "python3.13", "python3.12", "python3.11") if shutil.which(name)]
    here = "{}.{}.{}".format(*sys.version_info[:3])
    mend = f"run it as: {newer[0]} run.py" if newer else f"install Python {wanted} or newer and start run.py with it"
    raise CannotStartError(f"Batchwright needs Python {wanted} or newer; {sys.executable} is {here}.", mend)


def check_parts() -> None:
    """Refuse a Python without the parts that make a private environment."""
    for module in ("venv", "ensurepip"):
        try:
            __import__(module)
        except ImportError:
            version = "{}.{}".format(*sys.version_info[:2])
            mend = (
                f"sudo apt install python{version}-venv"
                if shutil.which("apt-get")
                else "install Python from python.org, or the package of your system that holds venv and pip"
            )
            raise CannotStartError(f"this Python has no '{module}', which makes a private environment.", mend) from None


# --- the private environment


def environment() -> Path:
    """The folder of the private environment."""
    named = os.environ.get("BATCHWRIGHT_ENV")
    return Path(named).expanduser().resolve() if named else ROOT / ".venv"


def python_in(env: Path) -> Path:
    """The interpreter of an environment, here or on Windows."""
    return env / "Scripts" / "python.exe" if os.name == "nt" else env / "bin" / "python"


def recipe() -> str:
    """A hash of everything an installation depends on."""
    parts = [str(ROOT), "{}.{}".format(*sys.version_info[:2])]
    parts += [(ROOT / name).read_text(encoding="utf-8") for name in ("pyproject.toml", "constraints.txt")]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def stamp_file(env: Path, extra: str) -> Path:
    """Where the environment keeps the recipe it was installed by."""
    return env / f"batchwright{extra and '-' + extra}.stamp"


def is_ready(env: Path, extra: str, wanted: str) -> bool:
    """Whether the environment is there and holds what this checkout asks for."""
    try:
        return python_in(env).exists() and stamp_file(env, extra).read_text(encoding="utf-8") == wanted
    except OSError:
        return False


class Lock:
    """One start at a time sets up the environment; the system frees the lock if that start dies."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __enter__(self) -> None:
        self.file = self.path.open("a+b")
        if not self._taken():
            print("another start is setting up the environment: waiting for it ...", file=sys.stderr)
            while not self._taken():
                time.sleep(0.2)

    def __exit__(self, *_: object) -> None:
        self.file.close()

    def _taken(self) -> bool:
        try:
            if sys.platform == "win32":
                import msvcrt

                self.file.seek(0)
                msvcrt.locking(self.file.fileno(), msvcrt.LK_NBLCK, 1)
            else:
                import fcntl

                fcntl.flock(self.file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except (BlockingIOError, PermissionError):
            return False
        return True


def prepare(extra: str = "") -> Path:
    """The environment's interpreter; sets the environment up if it is missing or out of date."""
    env, wanted = environment(), recipe()
    if not is_ready(env, extra, wanted):
        check_parts()
        try:
            refuse_strange_folder(env)
            env.mkdir(parents=True, exist_ok=True)
            with Lock(env / LOCK):
                if not is_ready(env, extra, wanted):
                    install(env, extra, wanted)
        except OSError as error:
            mend = "free the folder or the disk, or point BATCHWRIGHT_ENV at another folder"
            raise CannotStartError(f"the environment {env} could not be written ({error}).", mend) from None
    return python_in(env)


def refuse_strange_folder(env: Path) -> None:
    """Never install into, or clear, a folder that is not an environment."""
    holds = [entry.name for entry in env.iterdir()] if env.is_dir() else []
    if (holds and LOCK not in holds and "pyvenv.cfg" not in holds) or (env.exists() and not env.is_dir()):
        mend = "point BATCHWRIGHT_ENV at a new folder, or move this one away"
        raise CannotStartError(f"{env} is there already and is not a Python environment.", mend)


def install(env: Path, extra: str, wanted: str) -> None:
    """Make the environment if need be, install the checkout into it, and stamp it last of all."""
    python = python_in(env)
    if not works(python):
        print(f"making a private environment in {env} (once) ...", file=sys.stderr, flush=True)
        clear(env)
        call([sys.executable, "-m", "venv", str(env)], "the private environment could not be made")
    what = "Batchwright and its checks" if extra else "Batchwright"
    print(f"installing {what} (once; needs the network) ...", file=sys.stderr, flush=True)
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    call([*pip, "-c", "constraints.txt", "-e", f".[{extra}]" if extra else "."], "the installation did not go through")
    for each in {extra, ""}:
        fresh = stamp_file(env, each).with_suffix(".new")
        fresh.write_text(wanted, encoding="utf-8")
        fresh.replace(stamp_file(env, each))


def works(python: Path) -> bool:
    """Whether an interpreter starts, is of this version, and has pip."""
    test = "import sys, pip; print('{}.{}'.format(*sys.version_info[:2]))"
    try:
        done = subprocess.run([str(python), "-c", test], capture_output=True, text=True, check=False)
    except OSError:
        return False
    return done.returncode == 0 and done.stdout.strip() == "{}.{}".format(*sys.version_info[:2])


def clear(env: Path) -> None:
    """Empty a broken environment, all but the lock that is held."""
    for entry in env.iterdir():
        if entry.name == LOCK:
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(str(entry))
        else:
            entry.unlink()


def call(command: list[str], complaint: str) -> None:
    """Run a step of the setting up; what it says goes to the user."""
    if subprocess.run(command, cwd=str(ROOT), stdout=sys.stderr, check=False).returncode != 0:
        mend = (
            "read the lines above. Without a network, put the wheels into a folder and set PIP_NO_INDEX=1 and"
            " PIP_FIND_LINKS to it; then start again"
        )
        raise CannotStartError(f"{complaint}.", mend)


# --- the checks


def test(words: list[str]) -> int:
    """Run every check, or one section; the last line is pytest's own."""
    section = words[0] if words and not words[0].startswith("-") else ""
    rest = words[1:] if section else words
    if section and section not in (*FOLDERS, *TOOLS, "bench"):
        known = " | ".join([*FOLDERS, *TOOLS, "bench"])
        raise CannotStartError(f"there is no section '{section}' of the checks.", f"one of: {known}; or none for all")
    python = prepare("dev")
    os.chdir(str(ROOT))
    if section in TOOLS:
        return max(child(python, tool(words_of) + rest) for words_of in TOOLS[section])
    if section == "bench":
        return child(python, [str(BENCH), *rest])
    if section:
        if not Path(FOLDERS[section]).is_dir():
            raise CannotStartError(f"there is no folder {FOLDERS[section]} yet.", "run another section")
        return child(python, ["-m", "pytest", FOLDERS[section], *rest])
    floors = [f"src/batchwright/{floor}" for floor in CORE_FLOORS]
    workers = str(min(2, os.cpu_count() or 1))
    cover = ["--cov", "--cov-report=term"]
    spread = ["-n", workers, "--dist", "loadfile"]  # the tests of a file share its server, and build on one another
    doctests = ["--doctest-modules", "--doctest-ignore-import-errors"]  # the exact kernel may not load everywhere
    return child(python, ["-m", "pytest", *doctests, *spread, *cover, "tests", *floors, *rest])


def tool(words: tuple[str, ...]) -> list[str]:
    """How one of the tools is started inside the environment."""
    return ["-c", TOOL_CODE[words[0]], *words[1:]] if words[0] in TOOL_CODE else ["-m", *words]


def child(python: Path, arguments: list[str]) -> int:
    """Run the environment's interpreter to its end."""
    try:
        return subprocess.run([str(python), *arguments], env=settings(), check=False).returncode
    except KeyboardInterrupt:
        return 130


def settings() -> dict[str, str]:
    """The environment variables of a child: text is UTF-8 on every system."""
    return {"PYTHONUTF8": "1", **os.environ}


# --- the doors


def command(arguments: list[str]) -> int:
    """Hand over to the batchwright command."""
    python = prepare()
    line = [str(python), "-P", "-c", ENTRY, *arguments]
    if os.name != "nt":
        sys.stdout.flush()
        os.execve(line[0], line, {**settings(), "BATCHWRIGHT_AS": "python3 run.py"})
    return child(python, line[1:])


def demo() -> list[str]:
    """The words that serve the working copy of the demo; it is made where there is none, and never written over."""
    home = PROJECTS / DEMO.name
    if not home.exists():
        fresh = PROJECTS / f".{DEMO.name}.{os.getpid()}"
        try:
            shutil.copytree(str(DEMO), str(fresh))
            fresh.rename(home)
        except OSError as problem:
            shutil.rmtree(str(fresh), ignore_errors=True)
            if not home.exists():
                mend = "free the folder or the disk; or name a project of yours: python3 run.py serve FOLDER"
                raise CannotStartError(f"'{home}' could not be made: {problem.strerror}.", mend) from None
    return ["serve", str(home / DEMO_JOB), "--in", str(PROJECTS)]


def main(arguments: list[str]) -> int:
    """What the words after run.py ask for."""
    try:
        check_python()
        if arguments[:1] == ["test"]:
            return test(arguments[1:])
        if not arguments or arguments[0].partition("=")[0] in OF_SERVE:
            return command([*demo(), *arguments])
        return command(arguments)
    except CannotStartError as error:
        print(error, file=sys.stderr)
        return CANNOT
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
