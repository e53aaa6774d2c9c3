"""Runs what documents show, and compares the output that they print.

Usage: run_documents.py CHECKOUT BUILD SCRATCH DOCUMENT...

CHECKOUT is the top of the project, BUILD the tree with the built programs, a DOCUMENT a path from CHECKOUT. Each has a
folder of its own in SCRATCH, made anew, that looks like a checkout that has been built: `build` leads to BUILD, all else to
CHECKOUT.

What the blocks of a document are:

- ```sh: commands, run by bash from the top. So is `build/apps/...`, `bash ...` or `cmake ...` in the running text.
- ``` without a language: lines that the command before it prints, in this order; others may be left out. A command that shows
  `NAME: error: ...` there must fail, any other succeed.
- ```python: a program, run likewise.
- a block of any language after a paragraph that ends with the name of a file and a colon, as in "and so `heron.toml`:", is
  that file, for the commands after it. A further block of the same name is added to the file.
- ```toml otherwise: tables that take the place of those in the document's first case file; the case must then be readable.
- > a sentence: a quotation from the document that the heading above names. What it tells is checked by what follows.

A synopsis, `vlm-polar CASE ... [OPTION]...`, is not run: its options must be those of --help. All other blocks are faults,
so that nothing is shown that nobody tests.
"""
import difflib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tomllib

# Not run here, and why.
EXCEPTIONS = {
    "bash cases/demo": "builds; the commands that it runs are in README.md",
    "bash tests/run": "builds and runs this test",
    "bash tests/package": "takes minutes and a fresh machine: not in .ci/run",
    "bash tests/bench/growth/run": "builds and takes minutes, and draws the picture anew",
    "cmake --build build": "builds; the tests are run by what it built",
    "cmake --install build --prefix PREFIX": "tests/install does it",
    ("README.md", "cpp"): "tests/consumer builds and runs it",
    ("README.md", "cmake"): "tests/consumer has the same",
}

checkout, build, scratch = (pathlib.Path(argument).resolve() for argument in sys.argv[1:4])
faults = []
outputs = {}  # of commands that write no file, run once for all documents


def fault(place, message):
    faults.append(f"{place}: {message}")


def parts(text):
    """The commands and blocks of a document: (line, language, text, paragraph before); language "inline" for `code`."""
    paragraph = ""
    for found in re.finditer(r"^```(\w*)\n(.*?)^```$|^((?:(?!```)[^\n]+\n)+)", text, re.MULTILINE | re.DOTALL):
        line = text.count("\n", 0, found.start()) + 1
        language, block, paragraph_here = found.groups()
        if paragraph_here is None:
            yield line + 1, language, block.removesuffix("\n"), paragraph
            paragraph = ""
            continue
        paragraph = " ".join(paragraph_here.split())
        if paragraph.startswith(("# ", "> ")):
            yield line, "heading" if paragraph[0] == "#" else "quotation", paragraph[2:], ""
        for code in re.findall(r"`((?:build/apps/|bash |cmake )[^`]+)`", paragraph):
            yield line, "inline", code, ""


def run(folder, command, shell=("bash", "-euo", "pipefail", "-c")):
    """Exit code and output of a command."""
    path = "/usr/bin:" + os.environ["PATH"]  # Debian's Python, which has the packages
    environment = dict(os.environ, PATH=path, LC_ALL="C.UTF-8", MPLBACKEND="Agg")
    done = subprocess.run([*shell, command], cwd=folder, env=environment, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8")
    return done.returncode, done.stdout


def run_shell(folder, text):
    """As run, for the commands of a block. One that only reads cases and prints is not run again."""
    commands = re.sub(r"\\\n|(?<=\|)\n", " ", text).splitlines()
    if not all(command.startswith("build/apps/") for command in commands):
        return run(folder, text)
    results = []
    for command in commands:
        words = command.split()
        once = not {">", "|", "-o"} & set(words) and all(word.startswith("cases/") for word in words if ".toml" in word)
        if " ".join(words) in outputs:
            results.append(outputs[" ".join(words)])
            continue
        results.append(run(folder, command))
        if once:
            outputs[" ".join(words)] = results[-1]
    return max(code for code, _ in results), "".join(output for _, output in results)


class Ran:
    """A command and what it printed."""

    def __init__(self, place, text, result):
        self.place, self.text, self.judged = place, text, False
        self.code, self.output = result

    def judge_end(self, fails=False):
        if not self.judged and (self.code != 0) != fails:
            fault(self.place, f"exit code {self.code} of\n{self.text}\n{self.output[-2000:]}")
        self.judged = True

    def compare(self, place, wanted):
        self.judge_end(fails=any(re.match(r"[\w-]+: error: ", line) for line in wanted))
        printed = [line.rstrip() for line in self.output.splitlines()]
        next_line = 0
        for line in wanted:
            if line.rstrip() in printed[next_line:]:
                next_line = printed.index(line.rstrip(), next_line) + 1
            else:
                near = difflib.get_close_matches(line, printed, 1, 0)
                fault(place, f"not printed, or not in this order; nearest is\n{line}\n{near[0] if near else ''}")


def check_synopsis(place, folder, text):
    program = text.split()[0]
    _, printed = run(folder, f"build/apps/{program} --help")
    for option in re.findall(r"--[a-z][a-z-]*", text):
        if not re.search(rf"^  (-\w \[ )?{option}\b", printed, re.MULTILINE):
            fault(place, f"{option} is no option of {program}")


def toml(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def check_tables(place, folder, text, case):
    """Reads the case with the tables of the text in place of its own."""
    whole, tables = (tomllib.loads(each) for each in (case.read_text("utf-8"), text))
    whole = {**whole, **tables, "section": {**whole["section"], **tables.get("section", {})}}
    lines = [f"{key} = {toml(value)}\n" for key, value in whole.items()]
    (folder / "with-tables.toml").write_text("".join(lines), "utf-8")
    code, output = run(folder, "build/apps/vlm-polar with-tables.toml --angle-deg 3")
    if code:
        fault(place, f"the document's first case cannot be read with these tables in it\n{output}")


def check(document):
    folder = scratch / pathlib.Path(document).stem
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for path in checkout.iterdir():
        if path.name not in ("build", ".git"):
            (folder / path.name).symlink_to(path)
    (folder / "build").symlink_to(build)

    last, written, tables, quoted = None, [], [], checkout
    for line, language, text, before in parts((checkout / document).read_text("utf-8")):
        place = f"{document}:{line}"
        named = re.search(r"`([\w-]+\.\w+)`[^`.;]*:$", before)
        if language == "heading":
            quoted = checkout / text
        elif language == "quotation":
            if not quoted.is_file():
                fault(place, "a quotation, and the heading above names no document")
            elif text not in " ".join(quoted.read_text("utf-8").split()):
                fault(place, f"{quoted.relative_to(checkout)} does not say: {text}")
        elif language == "" and not named:
            if last:
                last.compare(place, text.splitlines())
            else:
                fault(place, "a block without a language is what a command printed, and there is none before it")
        elif named and language != "sh":
            path = folder / named[1]
            path.write_text((path.read_text("utf-8") + "\n" if path in written else "") + text + "\n", "utf-8")
            written.append(path)
        elif language == "toml":
            tables.append((place, text))
        elif language == "sh" and text.endswith("[OPTION]..."):
            for synopsis in text.splitlines():
                check_synopsis(place, folder, synopsis)
        elif language in ("sh", "inline", "python"):
            if last:
                last.judge_end()
            if language == "python":
                last = Ran(place, text, run(folder, text, (sys.executable, "-c")))
                continue
            lines = [each for each in text.splitlines() if each.split("  #")[0].strip() not in EXCEPTIONS]
            last = Ran(place, "\n".join(lines), run_shell(folder, "\n".join(lines))) if lines else None
        elif (document, language) not in EXCEPTIONS:
            fault(place, f"a block of '{language}' that is no file: end the paragraph before it with its name and a colon")
    if last:
        last.judge_end()
    case = next((path for path in written if path.suffix == ".toml"), None)
    for place, text in tables:  # last, when all files that the case names are there
        if case:
            check_tables(place, folder, text, case)
        else:
            fault(place, "the document has no case file that these tables could go into")


for each in sys.argv[4:]:
    check(each)
print("\n\n".join([*faults, f"{len(faults)} faults"]))
sys.exit(1 if faults else 0)
