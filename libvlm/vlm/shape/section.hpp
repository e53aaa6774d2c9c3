#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <vlm/shape/section_polar.hpp>

namespace vlm {

/// Two parabolic arcs that meet at the highest point: the mean line of the four-digit NACA
/// sections (NACA Report 460, 1933), and with position 0.5 the parabolic arc.
struct ParabolicMeanLine {
  double camber = 0;     ///< [-] greatest height over chord, |camber| ≤ 0.5
  double position = 0.5; ///< [-] of the greatest height, in (0, 1)
  friend bool operator==(const ParabolicMeanLine&, const ParabolicMeanLine&) = default;
};

/// Cubic ahead of x = m, straight behind or, if reflexed, cubic: the mean line of the five-digit
/// NACA sections (NACA Report 537, 1935), of whose formula these are the constants; by default those
/// of 230.
struct CubicMeanLine {
  double m = 0.2025;     ///< [-] where the part ahead ends, in (0, 1)
  double k1 = 15.957;    ///< [-] six times the leading coefficient of the cubic ahead
  double k2_over_k1 = 0; ///< [-] that of the part behind over that ahead; 0 if it is straight
  friend bool operator==(const CubicMeanLine&, const CubicMeanLine&) = default;
};

/// Uniform chordwise load from the leading edge to x = a, falling linearly to zero at the trailing
/// edge (Abbott & von Doenhoff, Theory of Wing Sections, chapter 4).
struct UniformLoadMeanLine {
  double design_lift = 0; ///< [-] lift coefficient at the ideal angle
  double a = 0.8;         ///< [-] in [0, 1); at a = 1 the slope is infinite at both ends
  friend bool operator==(const UniformLoadMeanLine&, const UniformLoadMeanLine&) = default;
};

/// Points joined by a shape-preserving cubic.
struct SampledMeanLine {
  std::vector<double> x; ///< [-] places, rising from 0 to 1
  std::vector<double> z; ///< [-] heights there
  friend bool operator==(const SampledMeanLine&, const SampledMeanLine&) = default;
};

/// Any of the mean lines. x is measured from the leading edge, z above the chord line, both over the chord.
using MeanLine = std::variant<ParabolicMeanLine, CubicMeanLine, UniformLoadMeanLine, SampledMeanLine>;

/// Profile of a station: a mean line, which bends the flow, and a thickness, which does not but costs drag.
struct Section {
  std::string name;                       ///< for output; may be empty
  MeanLine mean_line;                     ///< by default flat
  double thickness = 0;                   ///< greatest thickness over chord [-]
  double trailing_edge_gap = 0;           ///< thickness of a blunt trailing edge over chord [-]
  std::optional<SectionPolar> polar = {}; ///< its own drag; unset: by published methods
  /// Greatest lift coefficient [-] before it stalls, above 0; unset: none known. It bounds what a craft may
  /// carry, and does not enter the flow.
  std::optional<double> max_lift_coefficient = {};

  friend bool operator==(const Section&, const Section&) = default;
};

/// Section of a four- or five-digit NACA designation ("2412", "23012", "23112").
/// Throws Error if the digits name none, saying which are known.
Section naca_section(std::string_view digits);

/// A section made from the points of a contour, and what it took to bring them to chord 1 at angle 0.
struct ContourSection {
  Section section;  ///< at chord 1 and angle 0
  double chord = 1; ///< of the points, in their unit of length
  double angle = 0; ///< [rad] from their x axis towards z, of the line from leading to trailing edge
};

/// Section from the points of a contour in order around it, either way round, trailing edge to
/// trailing edge. Any chord length and angle: the chord line joins the middle of the two trailing-edge
/// points to the place of the contour farthest from it, found between the points by a parabola through three.
/// x, z: [number of points], one unit of length for both. The mean line is half way between the faces.
/// Throws Error for fewer than 10 points, a trailing-edge gap above 3 % of the chord, a gap elsewhere, points
/// of both faces listed from the leading edge, x that runs forward, or a contour that doubles back or crosses
/// itself.
ContourSection contour_section(std::string name, const std::vector<double>& x, const std::vector<double>& z);

/// Throws Error if a figure of a section is not finite or outside the range documented above.
void check(const Section&);

/// Height of the mean line over the chord [-] at x in [0, 1].
double mean_line_height(const MeanLine&, double x);

/// Slope dz/dx of the mean line [-] at x in (0, 1].
double mean_line_slope(const MeanLine&, double x);

/// Angle of zero lift of thin-aerofoil theory [rad], negative for positive camber:
/// (1/π)·∫ slope·(1 − cos θ) dθ over [0, π], x = (1 − cos θ)/2 (Glauert 1926, chapter VII).
double zero_lift_angle(const MeanLine&);

/// Greatest |height| of the mean line over the chord [-], with the sign of that height.
double greatest_camber(const MeanLine&);

} // namespace vlm
