#pragma once

#include <functional>
#include <vector>

#include <vlm/shape/interpolation.hpp>
#include <vlm/shape/surface.hpp>

namespace vlm {

/// What a surface is at one place of its span. Lengths [m], geometry axes.
struct SpanPoint {
  Vec3 leading_edge;    ///< its place
  Vec3 direction;       ///< unit tangent of the front-view curve, x = 0
  double chord = 0;     ///< from leading to trailing edge along x
  double twist = 0;     ///< [rad], incidence not included
  double parameter = 0; ///< where it is, as the outline's curves have it: see Outline
};

/// A surface as functions of the arc length s [m] of its front-view curve, from the first station's tip. Its
/// curves have another parameter t, of the dimension of s and nearly as large: the length of the polyline
/// through the stations. Arc lengths are those of the curve to rounding, but to 1e-7 of a metre where a
/// smooth one bends by almost a right angle at a station.
class Outline {
public:
  /// Throws Error for fewer than two stations, coinciding neighbours, a non-finite entry, a chord ≤ 0, or a
  /// smooth curve whose front view turns by a right angle or more at a station, naming the station.
  explicit Outline(const Surface&);

  double length() const { return length_; } ///< arc length from tip to tip [m]
  SpanPoint at(double s) const;             ///< s in [0, length()]
  SpanPoint at_parameter(double t) const;   ///< t from the first station's to the last's; cheaper than at()
  double speed(double t) const;             ///< ds/dt [-]

  /// A figure of the sections at arc length s, interpolated between stations as the chord is.
  double between_stations(double s, const std::function<double(const Section&)>& figure) const;

  /// Slope of the mean line [-] at chord fraction x, a function of SpanPoint::parameter: interpolated between
  /// stations as the chord is.
  Interpolant mean_line_slope(double x) const;
  /// Height of the mean line over the local chord [-] at a place of this outline, interpolated likewise.
  double mean_line_height(const SpanPoint&, double x) const;
  double thickness(double s) const;         ///< greatest thickness over the local chord [-]
  double trailing_edge_gap(double s) const; ///< thickness of a blunt trailing edge over the local chord [-]

  /// Arc lengths at which leading edge, chord, rise or twist turn a corner, tips left out, rising.
  std::vector<double> kinks() const;

  /// Arc lengths and parameters of the stations.
  ///@{
  const std::vector<double>& station_arcs() const { return arc_; }
  const std::vector<double>& station_parameters() const { return t_; }
  ///@}

private:
  double parameter(double s) const;
  template <class Figure>
  double between_stations_at(double t, const Figure& figure) const;
  double speed_squared(const KnotPlace& at) const {
    const double y = y_.slope(at), z = z_.slope(at);
    return y * y + z * z;
  }
  double arc_length(std::size_t piece, double from, double to) const; // between parameters of that piece

  Vec3 position_;
  Curve curve_;
  std::vector<Section> sections_;
  std::vector<double> t_;   // polyline length of the stations, the parameter of the curves
  std::vector<double> arc_; // arc length of the stations
  std::vector<double> fine_t_, fine_s_, fine_speed_; // t, s, ds/dt along a smooth curve; empty if straight
  double length_ = 0;
  Interpolant y_, z_, leading_edge_, chord_, twist_;
};

} // namespace vlm
