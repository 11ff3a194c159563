#!/usr/bin/env python3
"""Run Batchwright from a checkout: `python3 run.py` plans the demo job; `python3 run.py test` checks everything.

Standard library only. Makes a private environment beside this file (or where BATCHWRIGHT_ENV says), installs what
constraints.txt pins, and hands every other argument to the `batchwright` command.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
ENV = Path(os.environ.get("BATCHWRIGHT_ENV") or ROOT / ".venv").resolve()
STAMPED = ("pyproject.toml", "constraints.txt", "run.py")
DEMO = ROOT / "examples" / "terrace-armchair" / "terrace.job.yaml"
COULD_NOT = 3
SUITES = ("unit", "published", "property", "golden", "acceptance", "house", "browser")
USAGE = """python3 run.py                  plan the demo job into out/
python3 run.py ARGS...          the batchwright command (python3 run.py --help)
python3 run.py test             all checks: lint, types, imports, tests, coverage
python3 run.py test PART [...]  one of: lint types unit published property golden acceptance house bench
python3 run.py test golden --rewrite   write the golden files anew"""


def stop(what: str, mend: str) -> "None":
    """Say what is missing and how to mend it, and leave."""
    print(f"run.py: {what}\n    mend: {mend}", file=sys.stderr)
    raise SystemExit(COULD_NOT)


def python_of(env: Path) -> Path:
    """The environment's own Python."""
    return env / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def check_python() -> None:
    """Refuse an old Python, or one without venv and pip, with the mend."""
    if sys.version_info < (3, 11):
        found = ".".join(str(part) for part in sys.version_info[:3])
        stop(
            f"this is Python {found} ({sys.executable}); Batchwright needs 3.11 or newer.",
            "install a newer Python and start run.py with it, as in: python3.11 run.py",
        )
    for module in ("venv", "ensurepip"):
        try:
            __import__(module)
        except ImportError:
            version = f"{sys.version_info[0]}.{sys.version_info[1]}"
            stop(
                f"this Python has no '{module}', so no private environment can be made.",
                f"on Debian and Ubuntu: apt install python{version}-venv; elsewhere: a full Python from your system.",
            )


def wanted_stamp(extra: str) -> str:
    """Changes whenever the environment must be made again."""
    digest = hashlib.sha256()
    for name in STAMPED:
        digest.update((ROOT / name).read_bytes())
    digest.update(f"{sys.version_info[:3]} {ROOT} {extra}".encode())
    return digest.hexdigest()


def ready(extra: str) -> bool:
    """Whether the environment holds what is asked for already."""
    stamp = ENV / f"ready-{extra or 'run'}"
    try:
        return stamp.read_text() == wanted_stamp(extra) and python_of(ENV).exists()
    except OSError:
        return False


def take_turn() -> Path:
    """Wait while another start makes the environment; a lock older than ten minutes is taken over."""
    lock = ENV.with_name(ENV.name + ".lock")
    told = False
    while True:
        try:
            os.close(os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            return lock
        except FileExistsError:
            try:
                old = time.time() - lock.stat().st_mtime > 600
            except OSError:
                continue
            if old:
                lock.unlink(missing_ok=True)
                continue
            if not told:
                print("another start is making the environment; waiting for it ...", file=sys.stderr)
                told = True
            time.sleep(0.5)
        except OSError as problem:
            stop(f"{lock} cannot be made: {problem.strerror}.", "set BATCHWRIGHT_ENV to a folder you may write to.")


def install(extra: str) -> None:
    """Make the environment and install into it; the stamp is written last."""
    ENV.parent.mkdir(parents=True, exist_ok=True)
    lock = take_turn()
    try:
        if ready(extra):
            return
        print(f"making the private environment in {ENV} (once) ...", file=sys.stderr)
        if not python_of(ENV).exists():
            shutil.rmtree(ENV, ignore_errors=True)
            run_or_stop([sys.executable, "-m", "venv", str(ENV)], "the private environment could not be made")
        target = f"{ROOT}[{extra}]" if extra else str(ROOT)
        pip = [str(python_of(ENV)), "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
        run_or_stop([*pip, "-c", str(ROOT / "constraints.txt"), "-e", target], "the packages could not be installed")
        for name in {extra, "dev" if extra == "dev" else "", ""}:
            if name == extra or extra == "dev":
                (ENV / f"ready-{name or 'run'}").write_text(wanted_stamp(name))
    finally:
        lock.unlink(missing_ok=True)


def run_or_stop(command: "list[str]", what: str) -> None:
    """Run a step of the installation; where it fails, say so and leave."""
    if subprocess.run(command, check=False).returncode:
        stop(f"{what} (see above).", "check the network and the disk, then start again: it goes on where it can.")


def steps(parts: "list[str]", rest: "list[str]") -> "list[list[str]]":
    """The checks to run, in order; pytest comes last, so that its closing line closes the output."""
    python = str(python_of(ENV))
    if "bench" in parts:
        return [[python, str(ROOT / "benchmarks" / "run.py"), *rest]]
    todo: "list[list[str]]" = []
    if not parts or "lint" in parts:
        todo.append([python, "-m", "ruff", "check", "run.py", "src", "tests", "benchmarks"])
    if not parts or "types" in parts:
        todo.append([python, "-m", "mypy"])
    suites = [part for part in parts if part in SUITES]
    if suites or not parts:
        todo.append([python, "-m", "pytest", "-q", "-n", "2", "--dist", "loadscope", *pytest_arguments(suites), *rest])
    return todo


def pytest_arguments(suites: "list[str]") -> "list[str]":
    """All suites, the core floors' doctests and coverage; or only the suites asked for."""
    if suites:
        return [str(ROOT / "tests" / suite) for suite in suites if (ROOT / "tests" / suite).is_dir()]
    core = [str(ROOT / "src" / "batchwright" / floor) for floor in ("base", "handbook", "geometry", "planning")]
    return ["--cov", "--cov-report=term:skip-covered", "--doctest-modules", str(ROOT / "tests"), *core]


def check(arguments: "list[str]") -> int:
    """Run the checks; the first that fails decides, but all are run."""
    parts = [argument for argument in arguments if not argument.startswith("-")]
    known = {*SUITES, "lint", "types", "bench"}
    for part in parts:
        if part not in known:
            print(f"run.py: there are no checks called '{part}'.\n{USAGE}", file=sys.stderr)
            return 2
    environment = dict(os.environ)
    if "--rewrite" in arguments:
        environment["BATCHWRIGHT_REWRITE_GOLDEN"] = "1"
    rest = [argument for argument in arguments if argument.startswith("-") and argument != "--rewrite"]
    worst = 0
    for step in steps(parts, rest):
        print(f"== {' '.join(Path(word).name if os.sep in word else word for word in step[1:4])} ==", flush=True)
        worst = subprocess.run(step, cwd=ROOT, env=environment, check=False).returncode or worst
    return worst


def main() -> int:
    """Make the environment if need be, then do what was asked."""
    check_python()
    arguments = sys.argv[1:]
    testing = arguments[:1] == ["test"]
    extra = "dev" if testing else ""
    if not ready(extra) and not (extra == "" and ready("dev")):
        install(extra)
    if testing:
        return check(arguments[1:])
    command = [str(python_of(ENV)), "-m", "batchwright", *(arguments or ["plan", str(DEMO), "--out", "out"])]
    if os.name == "nt":
        return subprocess.run(command, check=False).returncode
    sys.stdout.flush()
    os.execv(command[0], command)


if __name__ == "__main__":
    try:
        raise SystemExit(main())
    except KeyboardInterrupt:
        raise SystemExit(130) from None
