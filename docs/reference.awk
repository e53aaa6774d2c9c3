# How Doxygen reads a header (docs/Doxyfile). Lines stay where they are, so a warning names the header's own.
#
# - One comment behind several members, "double width = 0, height = 0; ///< [m]", is that of each; Doxygen
#   gives it to the last alone.
# - Of the C++ headers, the folder is the layer: all goes into the group of that name (docs/reference.dox).
# - A defaulted comparison needs no comment of its own.

{ line[NR] = $0 }

# Splits text at the commas that stand in no bracket.
function split_outside(text, piece,    i, c, depth, n) {
  n = 1
  piece[1] = ""
  for (i = 1; i <= length(text); ++i) {
    c = substr(text, i, 1)
    if (index("<({[", c)) ++depth
    if (index(">)}]", c)) --depth
    if (c == "," && !depth) piece[++n] = ""
    else piece[n] = piece[n] c
  }
  return n
}

# The declaration at line i with a comment behind it, as one declaration for each of its names.
function each_by_itself(i,    at, n, piece, comment, block, type, k, all) {
  at = match(line[i], /; *\/(\/\/|\*\*)</)
  n = split_outside(substr(line[i], 1, at - 1), piece)
  if (n == 1) return line[i]
  comment = substr(line[i], at + RLENGTH)
  block = line[i] ~ /\/\*\*</
  for (++i; block ? comment !~ /\*\// : line[i] ~ /^ *\/\/\/</; ++i) { # it goes on below
    sub(/^ *(\/\/\/<|\* )?/, " ", line[i])
    comment = comment line[i]
    line[i] = ""
  }
  sub(/ *\*\/.*/, "", comment)
  type = piece[1]
  sub(/ *[={].*/, "", type)
  sub(/[^ ]+$/, "", type)
  for (k = 1; k <= n; ++k)
    all = all (k == 1 ? "" : type) piece[k] "; /**<" comment " */ "
  return all
}

END {
  n = split(FILENAME, folder, "/")
  for (i = 1; i <= NR; ++i) {
    if (line[i] ~ /^[^\/(]*; *\/(\/\/|\*\*)</) line[i] = each_by_itself(i)
    sub(/friend (constexpr )?bool operator==.* = default;/, "/** Equal member by member. */ &", line[i])
    sub(/^#pragma once$/, "/** @file */", line[i])
    sub(/^namespace vlm {$/, "& /** @addtogroup " folder[n - 1] " */ /** @{ */", line[i])
    sub(/^} \/\/ namespace vlm$/, "/** @} */ }", line[i])
    print line[i]
  }
}
