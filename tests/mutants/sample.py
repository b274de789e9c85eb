"""Mutation testing of a sample of the core: how many small changes of its code do the tests notice?

The changes ("mutants") are those that cargo-mutants lists. It would compile the core once for each of them; here a
whole sample goes into one copy of the code, each mutant as a branch at the head of its function that an environment
variable takes. So one build tries hundreds, and only the tests run again for each.

    python tests/mutants/sample.py --seed 1 --count 300

Needs `cargo install cargo-mutants --locked`. Ends with a table by room and the Wilson interval of the score; what
survives is listed in `target/mutants/seed-<seed>.tsv`.
"""

import argparse
import json
import math
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WORK = ROOT / "target/mutants"
TREE = WORK / "tree"
CORE = "crates/slopewright"
CHOICE = "SLOPEWRIGHT_MUTANT"
REACHED = "SLOPEWRIGHT_MUTANTS_REACHED"
# The quick ones first: most mutants die at once.
SUITES = ["lib", "golden", "openings", "published", "faults", "salvage", "properties", "stock"]
# A mutant that loops is caught by the processor's clock, whatever else the machine does meanwhile: so many times what a
# suite takes without any, and never less than so many seconds. The other clock is for one that sleeps.
TIMES_AS_LONG = 8
LEAST_SECONDS = 60
ASLEEP_SECONDS = 3600
SWITCH = f"""
pub(crate) mod mutants {{
    use std::io::Write as _;
    use std::sync::LazyLock;
    use std::sync::atomic::{{AtomicBool, Ordering::Relaxed}};

    static CHOSEN: LazyLock<Option<u32>> =
        LazyLock::new(|| std::env::var("{CHOICE}").ok().and_then(|text| text.parse().ok()));
    static NOTES: LazyLock<Option<std::fs::File>> = LazyLock::new(|| {{
        std::fs::OpenOptions::new().create(true).append(true).open(std::env::var("{REACHED}").ok()?).ok()
    }});
    static NOTED: [AtomicBool; 1 << 16] = [const {{ AtomicBool::new(false) }}; 1 << 16];

    /// Whether this mutant was chosen. Without any chosen, it is noted that its function was entered.
    pub(crate) fn is(number: u32) -> bool {{
        if let Some(chosen) = *CHOSEN {{
            return chosen == number;
        }}
        if !NOTED[number as usize].load(Relaxed) && !NOTED[number as usize].swap(true, Relaxed) {{
            if let Some(mut notes) = NOTES.as_ref() {{
                let _ = notes.write_all(format!("{{number}}\\n").as_bytes());
            }}
        }}
        false
    }}
}}
"""


def main() -> int:
    """Samples, builds, runs and counts."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=300)
    options.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    wanted = options.parse_args()
    WORK.mkdir(parents=True, exist_ok=True)
    mutants = listed()
    chosen = random.Random(wanted.seed).sample(range(len(mutants)), min(wanted.count, len(mutants)))
    sample = {number: mutants[number] for number in chosen}
    print(f"{len(sample)} of {len(mutants)} mutants, seed {wanted.seed}", flush=True)
    left_out = woven(sample)
    binaries = built()
    suites = [Suite(name, binaries[name]) for name in SUITES]
    tried = [number for number in chosen if number not in left_out]
    verdicts = dict(left_out)
    with ThreadPoolExecutor(wanted.jobs) as pool, (WORK / f"seed-{wanted.seed}.tsv").open("w") as table:
        coming = pool.map(lambda number: first_to_see(suites, number), tried)
        for number, verdict in zip(tried, coming, strict=True):
            verdicts[number] = verdict
            table.write(f"{verdict}\t{sample[number]['name']}\n")
            table.flush()
        table.writelines(f"{verdict}\t{sample[number]['name']}\n" for number, verdict in left_out.items())
    report(sample, verdicts)
    return 0


def listed() -> list[dict]:
    """All mutants of the rooms, in the order of cargo-mutants; which rooms is said in `.cargo/mutants.toml`."""
    command = ["cargo", "mutants", "--list", "--json", "--package", "slopewright"]
    return json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout)


def room_of(mutant: dict) -> str:
    """The folder of the core that a mutant is in."""
    return Path(mutant["file"]).relative_to(f"{CORE}/src").parts[0]


# ---- the copy of the code -------------------------------------------------------------------------------------


def woven(sample: dict[int, dict]) -> dict[int, str]:
    """Writes the copy with every mutant that compiles, and returns those that do not, with the reason."""
    left_out = {number: "not tried" for number in sample if has_no_branch(sample[number])}
    copy_tree()
    for _ in range(12):
        places = write_mutants({number: sample[number] for number in sample if number not in left_out})
        wrong = numbers_in_errors(places)
        if not wrong:
            return left_out
        for number in wrong:
            left_out[number] = "unviable"
    sys.exit("the copy does not compile")


def copy_tree() -> None:
    """The files that are under version control, as they stand; unchanged ones keep their times, so builds are short."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(command, cwd=ROOT, check=True, capture_output=True).stdout.decode().split("\0")
    for name in names:
        old, new = ROOT / name, TREE / name
        if not old.is_file() or name.startswith(f"{CORE}/src/"):
            continue
        if not new.exists() or new.stat().st_mtime_ns != old.stat().st_mtime_ns:
            new.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(old, new)


def put(path: Path, text: str) -> None:
    """Writes a file if it says something else: a new time means a new build."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists() or path.read_text() != text:
        path.write_text(text)


def write_mutants(sample: dict[int, dict]) -> dict[str, list[tuple[int, int, int]]]:
    """Writes the core with these mutants in it; returns for each file the lines (first, last) of each number."""
    by_file: dict[str, list[int]] = {}
    for number, mutant in sample.items():
        by_file.setdefault(mutant["file"], []).append(number)
    places = {}
    for old in sorted((ROOT / CORE / "src").rglob("*")):
        if not old.is_file():
            continue
        name = str(old.relative_to(ROOT))
        text = old.read_text()
        text, places[name] = with_mutants(text, {number: sample[number] for number in by_file.get(name, [])})
        if name == f"{CORE}/src/lib.rs":
            text += SWITCH
        put(TREE / name, text)
    return places


def with_mutants(text: str, mutants: dict[int, dict]) -> tuple[str, list[tuple[int, int, int]]]:
    """A file with a branch for each mutant at the head of its function."""
    starts = [0]
    for line in text.split("\n"):
        starts.append(starts[-1] + len(line) + 1)

    def at(place: dict) -> int:
        return starts[place["line"] - 1] + place["column"] - 1

    branches: dict[int, list[tuple[int, str]]] = {}
    for number, mutant in mutants.items():
        span, function = mutant["span"], mutant["function"]["span"]
        end = at(function["end"])
        head = head_of(text, at(function["start"]))
        before, after = text[head + 1 : at(span["start"])], text[at(span["end"]) : end - 1]
        branch = f"if crate::mutants::is({number}) {{ return {{{before}{mutant['replacement']} {after}}}; }}"
        branches.setdefault(head + 1, []).append((number, branch))
    result, places, done = "", [], 0
    for head in sorted(branches):
        result += text[done:head]
        for number, branch in branches[head]:
            first = result.count("\n") + 1
            result += branch
            places.append((number, first, result.count("\n") + 1))
            result += "\n"
        done = head
    return result + text[done:], places


def head_of(text: str, start: int) -> int:
    """The brace that opens a function's body, after its comments, attributes and signature."""
    signature = re.compile(r"^\s*(pub(\([^)]*\))?\s+)?(const\s+)?fn\s", re.MULTILINE)
    found = signature.search(text, text.rfind("\n", 0, start) + 1)
    assert found is not None
    return text.index("{", found.start())


def has_no_branch(mutant: dict) -> bool:
    """Whether a branch cannot stand there: in constants, and where the type that comes out has no name."""
    if mutant["function"] is None or "impl " in mutant["function"]["return_type"]:
        return True
    lines = (ROOT / mutant["file"]).read_text().splitlines()
    span = mutant["function"]["span"]
    head = "\n".join(lines[span["start"]["line"] - 1 : span["end"]["line"]])
    found = re.search(r"^\s*(pub(\([^)]*\))?\s+)?(const\s+)?fn\s", head, re.MULTILINE)
    return found is not None and found.group(3) is not None


def numbers_in_errors(places: dict[str, list[tuple[int, int, int]]]) -> set[int]:
    """The mutants in which the compiler finds an error."""
    command = ["cargo", "check", "--package", "slopewright", "--lib", "--message-format", "json"]
    came = subprocess.run(command, cwd=TREE, env=environment(), capture_output=True, text=True, check=False)
    wrong = set()
    for line in came.stdout.splitlines():
        message = json.loads(line).get("message") or {}
        if message.get("level") != "error":
            continue
        for span in message["spans"]:
            for number, first, last in places.get(span["file_name"], []):
                if span["is_primary"] and first <= span["line_start"] <= last:
                    wrong.add(number)
    if came.returncode and not wrong:
        sys.exit(came.stderr)
    return wrong


def environment() -> dict[str, str]:
    """The copy builds in a folder of its own: in the common one cargo would take it for the core itself."""
    shared = os.environ.get("SLOPEWRIGHT_SHARED_DATA", str(ROOT.parent / "shared/data"))
    return {**os.environ, "CARGO_TARGET_DIR": str(WORK / "build"), "SLOPEWRIGHT_SHARED_DATA": shared}


def built() -> dict[str, Path]:
    """The test programs of the copy."""
    command = ["cargo", "test", "--package", "slopewright", "--no-run", "--message-format", "json", "--lib"]
    for suite in SUITES[1:]:
        command += ["--test", suite]
    came = subprocess.run(command, cwd=TREE, env=environment(), capture_output=True, text=True, check=False)
    if came.returncode:
        sys.exit(came.stderr)
    binaries = {}
    for line in came.stdout.splitlines():
        artifact = json.loads(line)
        if artifact.get("executable") and artifact["profile"]["test"]:
            name = artifact["target"]["name"]
            binaries["lib" if name == "slopewright" else name] = Path(artifact["executable"])
    return binaries


# ---- the verdicts ---------------------------------------------------------------------------------------------


class Suite:
    """A test program, what it enters and how long the processor is at it."""

    def __init__(self, name: str, binary: Path) -> None:
        """Runs it once without any mutant: what fails or is not entered then says nothing of one."""
        self.name, self.binary, self.seconds = name, binary, None
        notes = WORK / f"reached-by-{name}.txt"
        notes.unlink(missing_ok=True)
        before = os.times()
        if self.run(REACHED, str(notes)) != "passed":
            sys.exit(f"{name} fails without any mutant: its verdict would mean nothing")
        after = os.times()
        spent = after.children_user + after.children_system - before.children_user - before.children_system
        self.seconds = max(LEAST_SECONDS, math.ceil(TIMES_AS_LONG * spent))
        self.reached = {int(line) for line in notes.read_text().split()} if notes.exists() else set()

    def run(self, variable: str, value: str) -> str:
        """Once, with a mutant or with notes of what is entered: passed, caught or timeout."""
        surroundings = {**environment(), "PROPTEST_CASES": "24", "RUST_BACKTRACE": "0", variable: value}

        with subprocess.Popen(
            [str(self.binary), "--quiet"],
            cwd=TREE / CORE,
            env=surroundings,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        ) as test:
            began = time.monotonic()
            if self.seconds is not None:
                resource.prlimit(test.pid, resource.RLIMIT_CPU, (self.seconds, self.seconds + 1))
            try:
                # A failure is seen at once; the rest of the suite need not be waited for.
                os.set_blocking(test.stdout.fileno(), False)
                while test.poll() is None:
                    if b"F" in (test.stdout.read() or b""):
                        return "caught"
                    if time.monotonic() - began > ASLEEP_SECONDS:
                        return "timeout"
                    time.sleep(0.02)
            finally:
                if test.poll() is None:
                    test.kill()
        if test.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
            return "timeout"
        return "passed" if test.returncode == 0 else "caught"


def first_to_see(suites: list[Suite], number: int) -> str:
    """The first suite that notices a mutant, or that none does. One that is not entered cannot be noticed."""
    for suite in suites:
        if number not in suite.reached:
            continue
        verdict = suite.run(CHOICE, str(number))
        if verdict != "passed":
            return f"{verdict} by {suite.name}"
    return "missed"


def wilson(caught: int, tried: int) -> tuple[float, float]:
    """The 95 % interval of a share (Wilson 1927)."""
    z = 1.959964
    share = caught / tried
    middle = share + z * z / (2 * tried)
    half = z * math.sqrt(share * (1 - share) / tried + z * z / (4 * tried * tried))
    return (middle - half) / (1 + z * z / tried), (middle + half) / (1 + z * z / tried)


def report(sample: dict[int, dict], verdicts: dict[int, str]) -> None:
    """The table by room, and what survives."""
    rooms: dict[str, Counter] = {}
    for number, verdict in verdicts.items():
        word = verdict.split()[0].rstrip(":")
        rooms.setdefault(room_of(sample[number]), Counter())[word] += 1
    rooms["all"] = sum(rooms.values(), Counter())
    print("room      caught timeout missed unviable not-tried  score  95 % interval")
    for room, count in rooms.items():
        caught = count["caught"] + count["timeout"]
        tried = caught + count["missed"]
        if tried:
            low, high = wilson(caught, tried)
            words = {"caught": 6, "timeout": 7, "missed": 6, "unviable": 8, "not": 9}
            numbers = " ".join(f"{count[word]:{wide}}" for word, wide in words.items())
            print(f"{room:9} {numbers}  {caught / tried:5.1%}  {low:.1%} to {high:.1%}")
    for number, verdict in verdicts.items():
        if verdict == "missed":
            print("missed", sample[number]["name"])


if __name__ == "__main__":
    sys.exit(main())
