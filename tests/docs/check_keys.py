"""Checks that docs/case.md documents the keys that the readers of the case allow, and no other.

Usage: check_keys.py CHECKOUT

Each list of keys in a reader, a call of allow_keys, must stand within one section of the document; each key in the first
column of a table there must be in some reader's list.
"""
import pathlib
import re
import sys

checkout = pathlib.Path(sys.argv[1])
text = (checkout / "docs/case.md").read_text("utf-8")
text = re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL)
sections = [set(re.findall(r"`(\w+)`", section)) for section in re.split(r"^#+ ", text, flags=re.MULTILINE)]
tables = set(re.findall(r"`\[+(\w+)[\].]", text))  # of `[water]`, `[[surface]]`, `[section.NAME]`
sections.append(tables | {"title"})
documented = set()
for first_column in re.findall(r"^\| (`\w+`[^|]*)\|", text, re.MULTILINE):
    documented.update(re.findall(r"`(\w+)`", first_column))

lists = []
for source in sorted((checkout / "libvlm/vlm/file").glob("*.cpp")):
    for call in re.findall(r"allow_keys\(\s*\{(.*?)\}\)", source.read_text("utf-8"), re.DOTALL):
        lists.append((source.name, set(re.findall(r'"(\w+)"', call))))
faults = []
for source, keys in lists:
    lacking = min((keys - section for section in sections), key=len)
    if lacking:
        faults.append(f"docs/case.md: no section has all of {sorted(keys)}, which {source} allows; nearest lacks {sorted(lacking)}")
allowed = set().union(*(keys for _, keys in lists))
faults += [f"docs/case.md has `{key}`, which no reader allows" for key in sorted(documented - allowed)]
if len(lists) < 15:
    faults.append(f"only {len(lists)} lists of keys found in the readers")
print("\n".join(faults) or f"{len(allowed)} keys in {len(lists)} lists")
sys.exit(1 if faults else 0)
