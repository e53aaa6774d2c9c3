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

namespace vlm {

/// A change of incidence or twist of one surface, whose amplitude a study varies.
struct TurnShape {
  std::size_t surface = 0; ///< index in the craft
  /// Of the twist; unset: the surface turns as a whole about y, as by incidence.
  std::optional<TwistShape> shape;
};

/// Motions that responses are made for.
enum class Motions {
  in_plane, ///< angle of attack
  all,      ///< angle of attack, sideslip and the three rates
};

/// How the stream meets a craft.
struct Condition {
  double alpha = 0; ///< angle of attack [rad], nose-up positive
  double beta = 0;  ///< sideslip [rad], positive when water comes from starboard
  Vec3 rates{}; ///< p b/2V, q c/2V, r b/2V [-] of span b and chord c of the reference; p, q, r about ISO 1151
                ///< body axes (starboard down, nose up, nose to starboard) through the moment point

  /// Whether water meets the craft in its plane of symmetry: without sideslip and rates.
  bool in_plane() const { return beta == 0 && rates == Vec3{}; }
};

/// A craft solved once: its circulation per unit of each cause, and loads as quadratic forms in the causes'
/// amplitudes. Causes in order: axial and vertical stream; for all motions side stream and the rates p, q, r
/// [rad/s]; then each turn in unit axial stream. Speeds are in units of V, so the forms hold loads at V = 1
/// m/s; they grow with V².
struct Responses {
  FlowSystem system; ///< with its lattice; in plane of a craft of equal sides it solves for no other motion
  double wake_angle = 0;               ///< [rad]; of the stream along which the wake was laid, 0 along body x
  Matrix circulation;                  ///< [panels × causes]
  Matrix strip_circulation;            ///< [strips × causes]
  std::vector<SurfaceForms> parts;     ///< in the order of part_names
  SurfaceForms craft;                  ///< their total
  Reference reference;                 ///< of the craft
  Motions motions = Motions::in_plane; ///< what they were made for
  Vec3 moment_point;                   ///< [m]
  double pressure_area = 0;            ///< ½ ρ S [kg/m]: loads at V = 1 over it are coefficients
};

/// Cuts, factorises, solves and sums up. wake_angle [rad] of the stream along which the wake is laid. Throws
/// what make_lattice, FlowSystem and load_forms throw, and Error for a fuselage about which the flow comes
/// out undetermined. still: of rows that stand as they did in an earlier lattice; used where it
/// fits; null: none.
Responses make_responses(const Craft&, const LatticeOptions&, double wake_angle, std::span<const TurnShape>,
                         ThreadPool&, Motions = Motions::in_plane, StillPart* still = nullptr);

/// Amplitudes of the causes of a condition at V = 1 m/s, with the turns at the amplitudes given [rad], in the
/// order given to make_responses. Throws Error for sideslip or rates if the responses are those in plane.
std::vector<double> amplitudes(const Responses&, const Condition&, std::span<const double> turns = {});

/// What a condition is varied by.
enum class Variable {
  alpha,      ///< angle of attack
  beta,       ///< sideslip
  roll_rate,  ///< p b/2V
  pitch_rate, ///< q c/2V
  yaw_rate,   ///< r b/2V
};

/// Derivatives of those amplitudes with respect to an angle [per rad] or a normalised rate. Throws Error for
/// any but that with respect to angle of attack if the responses are those in plane.
std::vector<double> amplitude_slopes(const Responses&, const Condition&, Variable,
                                     std::span<const double> turns = {});

/// Loads at V = 1 m/s in the plane of symmetry, as functions of angle of attack for fixed turns: each is
/// A cos²α + 2B cos α sin α + C sin²α.
struct AngleForm {
  double cos2 = 0, cross = 0, sin2 = 0; ///< A, B and C, in the unit of the load

  /// At an angle of cosine c and sine s.
  double value(double c, double s) const { return cos2 * c * c + 2 * cross * c * s + sin2 * s * s; }
  /// Derivative with respect to the angle there.
  double slope(double c, double s) const { return 2 * ((sin2 - cos2) * c * s + cross * (c * c - s * s)); }
};

/// A form of the responses at fixed turns (amplitudes [rad], in the order given to make_responses).
AngleForm at_turns(const Matrix& form, std::span<const double> turns);

/// Angle of attack [rad] at which the craft carries a lift [N at V = 1 m/s], sought by Newton's method from
/// zero. force_x, force_z: of the whole craft. Nothing if that finds none within ±0.5 rad. Throws Error for a
/// lift that is not finite.
std::optional<double> angle_for_lift(const AngleForm& force_x, const AngleForm& force_z, double lift);

/// A force below this share of ½ρV²S counts as none: rounding of sums of order one, and what a trim leaves.
inline constexpr double no_force = 1e-9;

/// Where the craft's loads act in its plane of symmetry. Unset where there is no lift, or no change of it, to
/// act.
struct Balance {
  std::optional<double> centre_of_lift; ///< x [m], where the resultant crosses the x axis
  std::optional<double> neutral_point;  ///< x [m], where that of a change of angle does, the wake held
  std::optional<double> static_margin;  ///< (neutral point − centre of lift)/mean chord, positive stable
};

/// Balance in a condition, with the turns at the amplitudes given [rad].
Balance balance(const Responses&, const Condition&, std::span<const double> turns = {});

/// How the wake leaves the trailing edge.
struct WakeChoice {
  /// Which line it follows.
  enum class Along {
    body,   ///< the body's x axis
    stream, ///< the stream at one angle of attack
  };
  Along along = Along::stream; ///< which of them
  std::optional<double> angle; ///< [rad] of that stream; unset: the operating angle of the study
};

/// The angle that a wake is laid at, and what finding it took.
struct OperatingWake {
  double angle = 0;                                   ///< [rad]
  std::size_t num_factorisations = 0, num_solves = 0; ///< that it took
};

/// The angle [rad] to lay the wake at: as chosen, 0 for the body axis, or else the angle of attack at which
/// the craft lifts the coefficient given, found with the wake laid along that stream to 1e-6 rad. Nothing if
/// no angle within ±0.5 rad does. Throws what make_responses throws, Error for a coefficient that is not
/// finite, and Error (run) if the angle does not settle.
std::optional<OperatingWake> find_operating_wake(const Craft&, const LatticeOptions&, const WakeChoice&,
                                                 double lift_coefficient, ThreadPool&);

/// The same. Throws Error also where that gives nothing.
OperatingWake operating_wake(const Craft&, const LatticeOptions&, const WakeChoice&, double lift_coefficient,
                             ThreadPool&);

} // namespace vlm
