#pragma once

#include <vector>

#include <vlm/base/vec3.hpp>
#include <vlm/shape/interpolation.hpp>

namespace vlm {

/// One cut of a fuselage across x. Lengths [m], geometry axes; every cut is its own mirror image about y = 0.
struct FuselageCut {
  double x = 0;                 ///< where it is, aft positive
  double width = 0, height = 0; ///< 0 together at the first and last cut, above 0 between
  double centre = 0;            ///< z of the middle
  double corner = 0; ///< radius of the corners, at most half of width and height; rounded rectangles only

  friend bool operator==(const FuselageCut&, const FuselageCut&) = default;
};

/// Shape of all cuts of a fuselage. An ellipse as wide as high is round.
enum class CutShape {
  elliptical,        ///< half axes of half the width and half the height
  rounded_rectangle, ///< with corners of a quarter circle
};

/// A closed body along x, given by its cuts. Between them width, height and centre run along shape-preserving
/// cubics in the angle θ of x = nose + length·(1 − cos θ)/2, in which a round end is smooth.
struct Fuselage {
  CutShape shape = CutShape::elliptical; ///< of all cuts
  std::vector<FuselageCut> cuts;         ///< at least three, x rising

  friend bool operator==(const Fuselage&, const Fuselage&) = default;
};

/// Shape of one end of a fuselage: how width and height fall from the full size to nothing.
enum class EndShape {
  ellipse,  ///< √(1 − t²), t from 0 at full size to 1 at the point
  parabola, ///< 1 − t²
  cone,     ///< 1 − t
};

/// Size of a fuselage given by its greatest cut and two ends, a straight middle between them. Lengths [m].
struct FuselageSize {
  double nose = 0;                          ///< x of the foremost point
  double centre = 0;                        ///< z of the axis
  double length = 0;                        ///< of the whole
  double width = 0, height = 0;             ///< greatest
  double corner = 0;                        ///< as in FuselageCut
  EndShape nose_shape = EndShape::ellipse;  ///< from the nose to the middle
  EndShape tail_shape = EndShape::parabola; ///< from the middle to the tail
  double nose_length = 0, tail_length = 0;  ///< above 0, together at most the length
};

/// The fuselage of that size. Throws Error for a size that is none.
Fuselage shaped_fuselage(CutShape, const FuselageSize&);

/// The skin of a fuselage as a function of x and of an angle φ around the cut: 0 at starboard, π/2 on top,
/// −π/2 below, ±π at port. For ellipses φ is the eccentric angle; for rounded rectangles each quarter of the
/// contour is run through evenly in arc length.
class Skin {
public:
  /// Throws Error for fewer than three cuts, cuts out of order, a non-finite entry, an end that does not
  /// close to a point, a size ≤ 0 between the ends, or a corner that does not fit or that an ellipse has,
  /// naming the cut.
  explicit Skin(const Fuselage&);

  double nose() const { return nose_; } ///< x of the foremost point
  double tail() const { return tail_; } ///< x of the aftmost point

  double half_width(double x) const;  ///< 0 beyond the ends
  double half_height(double x) const; ///< likewise
  double centre(double x) const;      ///< z of the middle; beyond the ends that of the end
  double corner(double x) const;      ///< radius of the corners; 0 for ellipses
  double flat_width(double x) const;  ///< of the flat top and bottom; 0 for ellipses
  double area(double x) const;        ///< of the cut [m²]
  double perimeter(double x) const;   ///< of the cut [m]

  Vec3 point(double x, double phi) const;  ///< of the skin [m]; nose ≤ x ≤ tail
  Vec3 normal(double x, double phi) const; ///< unit, outward; nose < x < tail

  /// y ≥ 0 of the skin at a height z; 0 if the cut does not reach there.
  double half_width_at(double x, double z) const;
  /// Whether a point lies inside or, within a nanometre, on the skin: for checks, which rounding must not
  /// turn.
  bool contains(const Vec3&) const;
  /// Whether a point lies inside, below the top and above the bottom, or sideways just on the skin: a sharp
  /// edge, to look for the skin by halves.
  bool encloses(const Vec3&) const;
  /// φ in [−π/2, π/2] of the starboard skin at a height z, which is held within the cut. On a flat top or
  /// bottom it is the place farthest to starboard.
  double angle_at(double x, double z) const;

private:
  struct Cross {
    double half_width, half_height, centre, corner;
  };
  KnotPlace place(double x) const;
  Cross cross_section(const KnotPlace&) const;
  Cross cross_section(double x) const { return cross_section(place(x)); }
  Cross cross_slope(const KnotPlace&) const;                  // derivative with θ
  double half_width_above(const Cross&, double height) const; // height from the middle, at most half_height
  double theta(double x) const;
  bool well_beside(const Vec3&) const; // or above or below all cuts, with room for skin_tolerance

  CutShape shape_;
  double nose_ = 0, tail_ = 0;
  double widest_ = 0, lowest_ = 0, highest_ = 0;           // limits of |y| and of z [m]
  std::vector<double> theta_;                              // of the cuts
  Interpolant half_width_, half_height_, centre_, corner_; // of θ; corner as a share of the smaller half size
};

/// Size of a fuselage.
struct FuselageFigures {
  double length = 0, width = 0, height = 0; ///< [m], the greatest
  double frontal_area = 0;                  ///< greatest area of a cut [m²]
  double wetted_area = 0;                   ///< of the whole skin [m²]
  double volume = 0;                        ///< [m³]
};

/// Integrals by Gauss's rule between cuts. Throws Error for what Skin refuses.
FuselageFigures fuselage_figures(const Fuselage&);

} // namespace vlm
