#pragma once

#include <cstdio>
#include <string>

namespace vlm {

/// A number as messages show it: six figures.
inline std::string figure(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value + 0.0); // no minus before a zero
  return text;
}

/// A length [m] as messages show it, without the unit: in mm, to the nanometre.
inline std::string millimetres(double length) {
  const double nanometre = 1e-6;
  const double in_mm = 1000 * length;
  return figure(in_mm < nanometre && in_mm > -nanometre ? 0 : in_mm);
}

} // namespace vlm
