#pragma once

#include <optional>
#include <span>
#include <vector>

#include <vlm/base/matrix.hpp>
#include <vlm/base/thread_pool.hpp>
#include <vlm/flow/cause.hpp>
#include <vlm/flow/system.hpp>
#include <vlm/force/load_forms.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/shape/craft.hpp>
#include <vlm/shape/twist_shape.hpp>
#include <vlm/study/operation.hpp>

namespace vlm {

/// A change of incidence or twist of one surface, whose amplitude a study varies.
struct TurnShape {
  std::size_t surface = 0; ///< index in the craft
  std::optional<TwistShape>
      shape; ///< of the twist; none: the surface turns as a whole about y, as by incidence
};

/// A craft solved once: its circulation per unit of each cause, and loads as quadratic forms in the causes'
/// amplitudes. Causes in order: axial stream, vertical stream, then each turn in unit axial stream. Speeds
/// are in units of V, so the forms hold loads at V = 1 m/s; they grow with V².
struct Responses {
  FlowSystem system;
  double wake_angle = 0;           ///< [rad]; of the stream along which the wake was laid, 0 along body x
  Matrix circulation;              ///< [panels × causes]
  Matrix strip_circulation;        ///< [strips × causes]
  std::vector<SurfaceForms> parts; ///< in the order of part_names
  SurfaceForms craft;
  Reference reference;
  Vec3 moment_point;        ///< [m]
  double pressure_area = 0; ///< ½ ρ S [kg/m]: loads at V = 1 over it are coefficients
};

/// Cuts, factorises, solves and sums up. Throws what make_lattice and FlowSystem throw.
Responses make_responses(const Craft&, const LatticeOptions&, double wake_angle, std::span<const TurnShape>,
                         ThreadPool&);

/// Loads at V = 1 m/s in the plane of symmetry, as functions of angle of attack for fixed turns: each is
/// A cos²α + 2B cos α sin α + C sin²α.
struct AngleForm {
  double cos2 = 0, cross = 0, sin2 = 0;

  double value(double c, double s) const { return cos2 * c * c + 2 * cross * c * s + sin2 * s * s; }
  /// Derivative with respect to the angle.
  double slope(double c, double s) const { return 2 * ((sin2 - cos2) * c * s + cross * (c * c - s * s)); }
};

/// A form of the responses at fixed turns (amplitudes [rad], in the order given to make_responses).
AngleForm at_turns(const Matrix& form, std::span<const double> turns);

/// Angle of attack [rad] at which the craft carries a lift [N at V = 1 m/s], sought by Newton's method from
/// 0. force_x, force_z: of the whole craft. Nothing if that finds none within ±0.5 rad.
std::optional<double> angle_for_lift(const AngleForm& force_x, const AngleForm& force_z, double lift);

/// A force below this share of ½ρV²S counts as none: rounding of sums of order one, and what a trim leaves.
inline constexpr double no_force = 1e-9;

/// Where the craft's loads act in its plane of symmetry. Unset where there is no lift, or no change of it, to
/// act.
struct Balance {
  std::optional<double> centre_of_lift; ///< x [m], where the resultant crosses the x axis
  std::optional<double>
      neutral_point; ///< x [m], where the resultant of a change of angle does, the wake held
  std::optional<double> static_margin; ///< (neutral point − centre of lift)/mean chord, positive stable
};

/// force_x, force_z, pitch: of the whole craft, pitch about the responses' moment point. alpha [rad].
Balance balance(const Responses&, const AngleForm& force_x, const AngleForm& force_z, const AngleForm& pitch,
                double alpha);

/// The angle that a wake is laid at, and what finding it took.
struct OperatingWake {
  double angle = 0; ///< [rad]
  std::size_t num_factorisations = 0, num_solves = 0;
};

/// The angle [rad] to lay the wake at: as chosen, 0 for the body axis, or else the angle of attack at which
/// the craft lifts the coefficient given, found with the wake laid along that stream to 1e-6 rad.
OperatingWake operating_wake(const Craft&, const LatticeOptions&, const WakeChoice&, double lift_coefficient,
                             ThreadPool&);

} // namespace vlm
