#pragma once

#include <optional>
#include <span>
#include <vector>

#include <vlm/force/derivatives.hpp>
#include <vlm/study/polar.hpp>
#include <vlm/study/twist_study.hpp>

namespace vlm {

/// @name Results with the image and without
/// Near a still surface of constant pressure and below least_image_froude of its depth, the surface's image
/// does not hold: results are given with the image and without. By linear theory the truth of lift at an
/// angle lies beyond that with the image where share_of_image is above 1; drag has waves by that theory, but
/// not where there is no image. Speeds are those of the operation [m/s]; unset, no bracket is needed, for the
/// Froude number is unknown.
///@{

/// Whether results of a craft at a speed are to be given so.
bool needs_bracket(const Craft&, std::optional<double> speed);

/// The craft without the image: its mast ends at the still surface as before, but nothing is
/// mirrored there. Unset where none is needed.
std::optional<Craft> without_image(const Craft&, std::optional<double> speed);

/// All points of a polar without the image; none where no bracket is needed, or if cancelled. As polar, which
/// gives the points with the image; its wake angle holds for both. Tells no progress.
std::vector<PolarPoint> polar_without_image(const Craft&, const LatticeOptions&, std::span<const Condition>,
                                            std::optional<double> wake_angle, std::optional<double> speed,
                                            const RunControl&, ThreadPool&);

/// Likewise of a twist study: its whole grid, or none.
TwistPoints twist_study_without_image(const Craft&, const LatticeOptions&, const TwistStudy&,
                                      double wake_angle, std::optional<double> speed, const RunControl&,
                                      ThreadPool&);

/// Likewise the derivatives; those against depth have no counterpart.
std::vector<Derivative> derivatives_without_image(const Craft&, const LatticeOptions&, const Condition&,
                                                  double wake_angle, std::optional<double> speed,
                                                  ThreadPool&);

///@}

} // namespace vlm
