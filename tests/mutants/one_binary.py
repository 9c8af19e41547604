"""Every mutant of some files in one test program, each behind a switch, and each run against the tests that reach it.

cargo-mutants names the mutants and tree-sitter finds what each of them changes. Where cargo-mutants would build the crate anew for every one,
minutes each, this builds it once: `a + b` becomes `(if on(7) { a - b } else { a + b })`, a function begins with `if on(8) { return 0; }`.
"""

import argparse
import collections
import concurrent.futures
import json
import os
import pathlib
import re
import resource
import shutil
import subprocess
import sys
import time

import tree_sitter
import tree_sitter_rust

ROOT = pathlib.Path(__file__).resolve().parents[2]
OUT = ROOT / "target/mutants"
TREE = OUT / "tree"
PARSER = tree_sitter.Parser(tree_sitter.Language(tree_sitter_rust.language()))
STAGES = ["src/units/**", "src/takeoff/**", "src/rolling/**", "src/purchase/**"]
# Slow, and about other things than sums: a mutant that only they would notice counts as missed.
LEFT_OUT = "faults museum view tidy readme help guides kept cli day_pages page cut_sheets schedule_rules".split()
# What the compiler works out is never mutated. The tests that reach a mutant are found by a run that writes down what it reaches.
SWITCH = """//! Which mutant is on, by `FACELAY_MUTANT`; those reached go to the file named by `FACELAY_REACHED`.
#![allow(missing_docs)]
use std::io::Write as _;
use std::sync::{LazyLock, atomic::{AtomicBool, Ordering}};
static SEEN: [AtomicBool; COUNT] = [const { AtomicBool::new(false) }; COUNT];
static LOG: LazyLock<Option<String>> = LazyLock::new(|| std::env::var("FACELAY_REACHED").ok());
static ACTIVE: LazyLock<Option<usize>> = LazyLock::new(|| std::env::var("FACELAY_MUTANT").ok()?.parse().ok());
pub const fn on(id: usize) -> bool { std::intrinsics::const_eval_select((id,), never, active) }
const fn never(_: usize) -> bool { false }
fn active(id: usize) -> bool {
    if let Some(log) = &*LOG && !SEEN[id].swap(true, Ordering::Relaxed) {
        let mut log = std::fs::OpenOptions::new().create(true).append(true).open(log).unwrap();
        log.write_all(format!("{id}\\n").as_bytes()).unwrap();
    }
    *ACTIVE == Some(id)
}
"""


def listed(files):
    """The mutants of files in the order of the code, numbered."""
    command = ["cargo", "mutants", "--list", "--json", *(x for file in files for x in ("--file", file))]
    mutants = json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True).stdout)
    mutants.sort(key=lambda m: (m["file"], m["span"]["start"]["line"], m["span"]["start"]["column"], m["replacement"]))
    return dict(enumerate(mutants))


def nodes(node):
    yield node
    for child in node.children:
        yield from nodes(child)


def places(tree):
    """The nodes that can be mutated, with what kind of mutant changes which part of them."""
    for node in nodes(tree.root_node):
        if node.type in ("binary_expression", "compound_assignment_expr"):
            yield node, "BinaryOperator", node.child_by_field_name("operator")
        elif node.type == "unary_expression":
            yield node, "UnaryOperator", node.children[0]
        elif node.type == "match_arm":
            yield node, "MatchArm", node
            if guard := node.child_by_field_name("pattern").child_by_field_name("condition"):
                yield node, "MatchArmGuard", guard


def switched(source, mutants):
    """The source with a switch for each mutant, and the mutants for which no place was found: fields of structs, `&&` between `let`s."""
    tree = PARSER.parse(source)
    lines = source.splitlines(keepends=True)

    def byte(at):
        before = lines[at["line"] - 1].decode()[: at["column"] - 1]
        return sum(map(len, lines[: at["line"] - 1])) + len(before.encode())

    found, unplaced = collections.defaultdict(list), set(mutants)
    by_place = {(kind, part.start_byte, part.end_byte): (node, part) for node, kind, part in places(tree)}
    bodies = [(node, node.child_by_field_name("body")) for node in nodes(tree.root_node) if node.type == "function_item"]
    for number, mutant in mutants.items():
        start, end = byte(mutant["span"]["start"]), byte(mutant["span"]["end"])
        place = by_place.get((mutant["genre"], start, end))
        if mutant["genre"] == "FnValue":
            around = [pair for pair in bodies if pair[1].start_byte < start and end < pair[1].end_byte]
            place = min(around, key=lambda pair: pair[1].end_byte - pair[1].start_byte)
        if place:
            found[place[0].id].append((number, mutant, place[1]))
            unplaced.discard(number)

    def text(start, end):
        return source[start:end].decode()

    def inner(node, start, end):
        """What stands from start to end of a node, with the switches within."""
        said, at = "", start
        for child in node.children:
            if start <= child.start_byte and child.end_byte <= end:
                said, at = said + text(at, child.start_byte) + written(child), child.end_byte
        return said + text(at, end)

    def written(node):
        here = found.get(node.id, [])
        if not here:
            return inner(node, node.start_byte, node.end_byte)
        if node.type == "function_item":
            body = node.child_by_field_name("body")
            switches = "".join(f" if crate::mutant::on({n}) {{ return {m['replacement']}; }}" for n, m, _ in here)
            return inner(node, node.start_byte, body.start_byte) + "{" + switches + inner(body, body.start_byte + 1, body.end_byte)
        if node.type == "match_arm":
            pattern = node.child_by_field_name("pattern")
            guard = pattern.child_by_field_name("condition")
            head = text(node.start_byte, guard.start_byte) if guard else text(node.start_byte, pattern.end_byte) + " if "
            said = f"({written(guard)})" if guard else "true"
            for number, mutant, _ in here:
                value = "false" if mutant["genre"] == "MatchArm" else mutant["replacement"]
                said = f"(if crate::mutant::on({number}) {{ {value} }} else {{ {said} }})"
            return head + said + inner(node, pattern.end_byte, node.end_byte)
        said = ""
        for number, mutant, operator in here:
            changed = text(node.start_byte, operator.start_byte) + mutant["replacement"] + text(operator.end_byte, node.end_byte)
            said += f"if crate::mutant::on({number}) {{ {changed} }} else "
        return "(" + said + "{ " + inner(node, node.start_byte, node.end_byte) + " })"

    root = tree.root_node
    return (text(0, root.start_byte) + written(root) + text(root.end_byte, len(source))).encode(), unplaced


def write(path, content):
    """Writes what is not there yet: what stays as it is need not be built again."""
    if not path.is_file() or path.read_bytes() != content:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def copy(planted):
    """A copy of what git keeps, but for the files to be mutated; it uses the dependencies of the ordinary release build."""
    known = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, check=True, capture_output=True, text=True)
    kept = {name for name in known.stdout.splitlines() if (ROOT / name).is_file()}
    for path in [path for path in TREE.rglob("*") if path.is_file() and str(path.relative_to(TREE)) not in kept | {"src/mutant.rs"}]:
        path.unlink()
    for name in kept - planted - {"src/lib.rs", "Cargo.toml"}:
        write(TREE / name, (ROOT / name).read_bytes())
    quick = b"\n[profile.release.package.facelay]\nopt-level = 1\n"
    write(TREE / "Cargo.toml", (ROOT / "Cargo.toml").read_bytes() + quick)
    if not (OUT / "shared").is_symlink():
        (OUT / "shared").symlink_to(os.environ.get("FACELAY_SHARED", ROOT.parent / "shared"))


def plant(mutants):
    """Writes the files with their mutants; returns those without a place."""
    unplaced, by_file = set(), collections.defaultdict(dict)
    for number, mutant in mutants.items():
        by_file[mutant["file"]][number] = mutant
    for file, here in by_file.items():
        source, without = switched((ROOT / file).read_bytes(), here)
        write(TREE / file, source)
        unplaced |= without
    write(TREE / "src/mutant.rs", SWITCH.replace("COUNT", str(max(mutants) + 1)).encode())
    before, lints, after = (ROOT / "src/lib.rs").read_text().partition("#![cfg_attr(")
    features = "#![feature(core_intrinsics, const_eval_select)]\n#![allow(internal_features)]\n"
    write(TREE / "src/lib.rs", (before + features + lints + after + "pub mod mutant;\n").encode())
    return unplaced


def build(mutants):
    """Builds until every mutant left is one that compiles; returns the test programs, and the mutants that cannot be built."""
    known = OUT / "unviable.txt"
    before = set(known.read_text().splitlines()) if known.is_file() else set()
    # A function that returns `impl Iterator` has one type; an empty iterator has another.
    other_type = {m["name"] for m in mutants.values() if m["genre"] == "FnValue" and "impl " in m["function"]["return_type"]}
    unviable = {n for n, m in mutants.items() if m["name"] in before | other_type}
    wrapper = pathlib.Path(__file__).with_name("rustc")
    environment = {**os.environ, "RUSTC_WORKSPACE_WRAPPER": str(wrapper), "CARGO_TARGET_DIR": str(ROOT / "target")}
    while True:
        unviable |= plant({n: m for n, m in mutants.items() if n not in unviable})
        # The library first, so that what does not compile is known before anything else is built.
        for what in (["--lib"], ["--lib", "--test", "it"]):
            command = ["cargo", "test", "--no-run", "--release", "--locked", "--message-format=json", *what]
            run = subprocess.run(command, cwd=TREE, env=environment, capture_output=True, text=True)
            messages = [json.loads(line) for line in run.stdout.splitlines() if line.startswith("{")]
            if run.returncode:
                break
        else:
            made = [m for m in messages if m.get("executable") and m["profile"]["test"]]
            return {m["target"]["kind"][0]: m["executable"] for m in made}, unviable
        errors = [m["message"] for m in messages if m.get("reason") == "compiler-message" and m["message"]["level"] == "error"]
        bad = set()
        for span in (span for error in errors for span in error["spans"] if (TREE / span["file_name"]).is_file()):
            until = (TREE / span["file_name"]).read_bytes()[: span["byte_end"]].decode()
            bad |= {int(number) for number in re.findall(r"mutant::on\((\d+)\)", until)[-1:]}
        if not bad - unviable:
            sys.exit("no mutant is to blame that it does not build:\n" + run.stderr + "\n".join(error["rendered"] for error in errors))
        unviable |= bad
        known.write_text("".join(mutants[n]["name"] + "\n" for n in sorted(unviable)))


def passes(program, names, seconds, **switches):
    """Whether tests pass; what takes too long or too much memory does not."""
    def limits():
        resource.setrlimit(resource.RLIMIT_AS, (6 << 30, 6 << 30))
    command = ["timeout", "--kill-after=1", str(seconds), program, "--exact", "--test-threads=1", *names]
    environment = {**os.environ, "RUST_BACKTRACE": "0", **switches}
    return subprocess.run(command, cwd=TREE, env=environment, preexec_fn=limits, capture_output=True).returncode == 0


def reach(programs, pool):
    """By mutant, the tests that reach it, as seconds, program and name."""
    tests = []
    for program in programs.values():
        names = subprocess.run([program, "--list"], cwd=TREE, check=True, capture_output=True, text=True).stdout.splitlines()
        names = [line.removesuffix(": test") for line in names if line.endswith(": test")]
        tests += [(program, name) for name in names if name.split("::")[0] not in LEFT_OUT]
    shutil.rmtree(OUT / "reached", ignore_errors=True)
    (OUT / "reached").mkdir()

    def one(number):
        program, name = tests[number]
        log, started = OUT / "reached" / str(number), time.monotonic()
        is_right = passes(program, [name], 120, FACELAY_REACHED=str(log))
        return is_right, time.monotonic() - started, {int(x) for x in log.read_text().split()} if log.exists() else set()

    by_mutant = collections.defaultdict(list)
    for test, (is_right, seconds, reached) in zip(tests, pool.map(one, range(len(tests)))):
        if not is_right:
            print(f"left out, since it does not pass as it is: {test[1]}", flush=True)
            continue
        for mutant in reached:
            by_mutant[mutant].append((seconds, *test))
    return by_mutant


def asked(number, mutant, tests, budget):
    """Whether a test notices, and how many were not asked: those beside the code first, then those of the stage, then the quickest."""
    module = mutant["file"].removeprefix("src/").removesuffix(".rs").removesuffix("/mod").replace("/", "::")
    stage = module.split("::")[0]
    tests = sorted(tests, key=lambda t: (not t[2].startswith(module + "::"), not t[2].startswith(stage), t[0]))
    spent = 0.0
    while tests and spent < budget:
        batch = [tests.pop(0)]
        while tests and tests[0][1] == batch[0][1] and sum(t[0] for t in batch) < 1 and len(batch) < 40:
            batch.append(tests.pop(0))
        usual = sum(t[0] for t in batch)
        spent += usual
        if not passes(batch[0][1], [t[2] for t in batch], max(20, 10 * usual), FACELAY_MUTANT=str(number)):
            return "caught", len(tests)
    return "missed" if spent else "unreached", len(tests)


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--share", default="0/1", help="a share of the mutants, evenly over the code: 0/3 is every third")
    options.add_argument("--budget", type=float, default=60, help="so many seconds of tests a mutant")
    options.add_argument("files", nargs="*", default=STAGES)
    options = options.parse_args()
    mutants = listed(options.files)
    copy({mutant["file"] for mutant in mutants.values()})
    programs, unviable = build(mutants)
    print(f"{len(mutants)} mutants, {len(unviable)} of which cannot be built", flush=True)
    part, whole = map(int, options.share.split("/"))
    chosen = [n for n in mutants if n not in unviable][part::whole]
    counts, total = collections.defaultdict(collections.Counter), collections.Counter()
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool, open(OUT / "missed.txt", "w") as missed:
        reached = reach(programs, pool)
        for number, (outcome, left) in zip(chosen, pool.map(lambda n: asked(n, mutants[n], reached[n], options.budget), chosen)):
            counts[mutants[number]["file"]][outcome] += 1
            if outcome != "caught":
                print(f"{outcome} {mutants[number]['name']} ({len(reached[number])} tests reach it, {left} not asked)", file=missed, flush=True)
    for file, count in sorted(counts.items()):
        total.update(count)
        print(f"{file}: {count['caught']} of {count.total()} caught, {count['unreached']} reached by no test")
    print(f"{total['caught']} of {total.total()} caught, {100 * total['caught'] / total.total():.1f} %")


if __name__ == "__main__":
    main()
