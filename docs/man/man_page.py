"""Prints the manual page of a program, made from what its --help and --version print.

Usage: man_page.py PROGRAM NAME_OF_ANOTHER...
"""
import datetime
import os
import pathlib
import re
import subprocess
import sys
import textwrap
import time

program, *others = sys.argv[1:]
name = pathlib.Path(program).name


def printed(option):
    return subprocess.run([program, option], check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout


def roff(text):
    """Plain text, as roff wants it: a backslash and a hyphen that is one to type, and a dot or quote that is no request."""
    return re.sub(r"^([.'])", r"\\&\1", text.replace("\\", r"\e").replace("-", r"\-"), flags=re.MULTILINE)


def bold(text):
    return rf"\fB{roff(text)}\fR"


usage, purpose, *option_groups, examples = re.split(r"\n{2,}", printed("--help").strip())
assert usage.startswith(f"Usage: {name} ") and examples.startswith("Examples\n"), f"{name}: --help has another form"
purpose, examples = " ".join(purpose.split()), examples.removeprefix("Examples\n")

made = datetime.date.fromtimestamp(int(os.environ.get("SOURCE_DATE_EPOCH", time.time())))
print(f'.TH {name.upper()} 1 "{made}" "{roff(printed("--version").strip())}" "libvlm"')
print(f".SH NAME\n{name} \\- {roff(purpose[0].lower() + re.split('[;:.] ', purpose)[0][1:])}")
print(f".SH SYNOPSIS\n{bold(name)} {roff(usage.removeprefix(f'Usage: {name} '))}")
print(f".SH DESCRIPTION\n{roff(purpose)}")
for group in option_groups:
    heading, *lines = group.splitlines()
    print(f'.SH "{heading.rstrip(":").upper()}"')
    for line in lines:
        option = re.match(r"  (?:-(\w) \[ )?(--[\w-]+)(?: \])?(?: (\S+))?  +(.*)", line)
        if not option:  # goes on with what the option above does
            print(roff(line.strip()))
            continue
        letter, word, value, meaning = option.groups()
        names = (f"{bold('-' + letter)}, " if letter else "") + bold(word)
        print(f".TP\n{names}" + (f" \\fI{roff(value)}\\fR" if value else "") + f"\n{roff(meaning.strip())}")
print(f".SH EXAMPLES\n.nf\n{roff(textwrap.dedent(examples))}\n.fi")
print(".SH EXIT STATUS\n.TP\n0\nDone.\n.TP\n2\nThe command or the case is wrong; one line says what to write instead.")
print(".TP\n130\nStopped by Ctrl\\-C; what was finished is put out.\n.TP\n1\nAnything else.")
print(".SH SEE ALSO")
for i, other in enumerate(others, 1):
    print(f".BR {roff(other)} (1)" + ("," if i < len(others) else ""))
