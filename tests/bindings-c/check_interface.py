"""Checks that the shared library shows the functions of vlm.h and nothing else, and that each has a test of its
result and, where it can fail, one of its refusal.

Usage: check_interface.py LIBRARY, with vlm.h and the tests where they are in the tree."""

import pathlib
import re
import subprocess
import sys

cannot_fail = {"vlm_version", "vlm_status_text", "vlm_message"}

here = pathlib.Path(__file__).resolve().parent
header = (here / "../../bindings-c/include/vlm/vlm.h").read_text()
declared = set(re.findall(r"^VLM_API [^(]*?\b(vlm_\w+)\(", header, re.MULTILINE))
listed = subprocess.run(["nm", "--dynamic", "--defined-only", sys.argv[1]], check=True, text=True,
                        stdout=subprocess.PIPE).stdout
exported = {line.split()[-1].split("@")[0] for line in listed.splitlines()}
shown = "".join((here / name).read_text() for name in ("results_test.cpp", "studies_test.cpp"))
results = set(re.findall(r"\b(vlm_\w+)\(", shown))
refusals = set(re.findall(r"EXPECT_REFUSED\([^;]*?\b(vlm_\w+)\(", (here / "refusals_test.cpp").read_text()))

wrong = False
for what, names in [("declared, not exported", declared - exported), ("exported, not declared", exported - declared),
                    ("without a test of its result", declared - results),
                    ("without a test of its refusal", declared - refusals - cannot_fail)]:
    for name in sorted(names):
        print(f"{name}: {what}")
        wrong = True
if len(declared) < 50:
    print(f"found {len(declared)} functions declared: is vlm.h read as it should be?")
    wrong = True
sys.exit(wrong)
