"""Checks that a program's document lists the options of its --help, and no other.

Usage: check_options.py PROGRAM DOCUMENT SHARED

SHARED is the document whose section "Options of every program" lists those.
"""
import pathlib
import re
import subprocess
import sys

program, *documents = sys.argv[1:]
printed = subprocess.run([program, "--help"], check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout
own, shared = printed.split("Options of every program:")

def options(text):
    return set(re.findall(r"^  (?:-\w \[ )?(--[a-z][a-z-]*)", text, re.MULTILINE))


faults = []
for helped, document, heading in zip((own, shared), documents, ("## Options", "### Options of every program")):
    text = pathlib.Path(document).read_text("utf-8")
    section = re.search(rf"^{heading}$(.*?)(?=^#|\Z)", text, re.MULTILINE | re.DOTALL)[1]
    listed = set(re.findall(r"--[a-z][a-z-]*", "".join(re.findall(r"^\| ([^|]*)\|", section, re.MULTILINE))))
    faults += [f"{document} lacks {option}" for option in sorted(options(helped) - listed)]
    faults += [f"{document} has {option}, which --help has not" for option in sorted(listed - options(printed))]
    if not options(helped):
        faults.append(f"no option found in the --help of {program}")
print("\n".join(faults) or "the same options")
sys.exit(1 if faults else 0)
