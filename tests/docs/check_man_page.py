"""Checks the manual page of a program: no complaint of mandoc or groff, and every option of --help in it with what it does.

Usage: check_man_page.py PROGRAM PAGE
"""
import re
import subprocess
import sys

program, page = sys.argv[1:]
faults = ""
for checker in (["mandoc", "-T", "lint", "-W", "warning", page], ["groff", "-ww", "-man", "-T", "utf8", "-z", page]):
    done = subprocess.run(checker, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8")
    faults += done.stdout + (f"{checker[0]} ends with {done.returncode}\n" if done.returncode else "")

# As a reader sees it, against --help: the words of both, white space aside.
shown = subprocess.run(["mandoc", "-T", "utf8", "-O", "width=1000", page], check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout
shown = " ".join(re.sub(".\b", "", shown).split())
printed = subprocess.run([program, "--help"], check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout
options = re.findall(r"^  (?:-\w \[ )?(--[\w-]+)(?: \])?( \S+)?  +(.*(?:\n {6,}.*)*)", printed, re.MULTILINE)
if len(options) < 14:
    faults += f"only {len(options)} options found in --help\n"
for name, value, meaning in options:
    text = f"{name}{value} {' '.join(meaning.split())}"
    if text not in shown:
        faults += f"the page lacks: {text}\n"
print(faults or f"{len(options)} options")
sys.exit(1 if faults else 0)
