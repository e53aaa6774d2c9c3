#pragma once

#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include <vlm/file/case.hpp>
#include <vlm/study/comparison.hpp>

namespace vlm {

/// Crafts side by side, as they are put out.
struct ComparisonResult {
  std::string program;          ///< name of the one that ran
  std::vector<Case> cases;      ///< as run, one a craft
  std::vector<Case> new_family; ///< those whose stabilizers make it
  ComparisonChoice choice;      ///< what was asked for
  Comparison comparison;        ///< what came out
};

/// A table for a terminal: a line a figure, a column a craft, of up to six of them.
void write_comparison_table(std::ostream&, const ComparisonResult&);

/// All crafts with all figures.
void write_comparison_json(std::ostream&, const ComparisonResult&);

/// A line a craft, under a line of names.
void write_comparison_csv(std::ostream&, const ComparisonResult&);

} // namespace vlm
