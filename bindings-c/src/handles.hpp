#pragma once

#include <optional>
#include <string>
#include <vector>

#include <vlm/file/case.hpp>
#include <vlm/file/polar_output.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/file/twist_output.hpp>
#include <vlm/force/derivatives.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/vlm.h>

// What the handles of the C interface hold.

struct vlm_case {
  vlm::Case value;
  std::vector<vlm::Section> sections; // for stations of surfaces to come
};

struct vlm_solution {
  vlm::Responses responses;
  vlm::Craft craft;
  vlm::DragChoice drag;
  std::optional<vlm::FuselageFigures> body;
  std::vector<std::string> part_names;
  std::vector<vlm::Derivative> derivatives; // of some condition, for their names; empty if solved in plane
};

struct vlm_polar {
  vlm::PolarResult result;
  vlm::Lattice lattice;
  double density = 0;
};

struct vlm_twist {
  vlm::TwistResult result;
  vlm::TwistMarks marks;
};

struct vlm_trim {
  vlm::TrimResult result;
};

namespace vlm::c {

Condition condition_of(const vlm_condition&);
vlm_forces forces_of(const PolarPoint&);
void fill_parts(const PolarPoint&, vlm_part_forces* parts, std::size_t count);
void fill_loading(const Lattice&, const std::vector<double>& circulation, double speed, double density,
                  vlm_strip_loading* strips, std::size_t count);
double speed_of(double speed); // refused unless above 0

} // namespace vlm::c
