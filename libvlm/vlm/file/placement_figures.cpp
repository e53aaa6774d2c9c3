#include <vlm/file/placement_figures.hpp>

#include <array>
#include <numbers>

namespace vlm {
namespace {

using MaybeValue = std::optional<double>;
using Point = PlacementPoint;

constexpr double degrees_a_radian = 180 / std::numbers::pi, millimetres = 1000, percent = 100;

// Of the balance under a rider alone.
MaybeValue if_loaded(const Point& p, double figure) {
  return p.handling.deck_pitch_stiffness ? MaybeValue(figure) : std::nullopt;
}

constexpr std::array figure_list{
    PlacementFigure{"angle_deg", degrees_a_radian, "alpha", "rad", "angle of attack of the balance",
                    [](const Point& p, std::size_t) { return MaybeValue(p.state.alpha); }},
    PlacementFigure{"load_station_mm", millimetres, "load_station", "m",
                    "station of the load along the deck, aft of the mast axis",
                    [](const Point& p, std::size_t) { return if_loaded(p, p.state.load_station); }},
    PlacementFigure{"front_foot_percent", percent, "front_foot_share", "1",
                    "share of the load on the front foot",
                    [](const Point& p, std::size_t) { return p.front_foot_share; }},
    PlacementFigure{"lift_n", 1, "lift", "N", "lift of the foil",
                    [](const Point& p, std::size_t) { return MaybeValue(p.state.lift); }},
    PlacementFigure{"drag_n", 1, "drag", "N", "drag of the foil, all of it",
                    [](const Point& p, std::size_t) { return MaybeValue(p.state.drag); }},
    PlacementFigure{"induced_drag_n", 1, "induced_drag", "N", "induced drag of the foil, far field",
                    [](const Point& p, std::size_t) { return MaybeValue(p.induced_drag); }},
    PlacementFigure{"lift_to_drag", 1, "lift_to_drag", "1", "lift over drag",
                    [](const Point& p, std::size_t) { return p.lift_to_drag; }},
    PlacementFigure{"centre_of_lift_mm", millimetres, "centre_of_lift", "m",
                    "x where the resultant force crosses the x axis",
                    [](const Point& p, std::size_t) { return p.centre_of_lift; }},
    PlacementFigure{"neutral_point_mm", millimetres, "neutral_point", "m",
                    "x where the lift of a change of angle acts",
                    [](const Point& p, std::size_t) { return p.handling.neutral_point; }},
    PlacementFigure{"static_margin_percent", percent, "static_margin", "1",
                    "distance of the neutral point behind the line of the load over the reference chord, "
                    "positive stable",
                    [](const Point& p, std::size_t) { return p.handling.static_margin; }},
    PlacementFigure{"pitch_stiffness_n_m_per_rad", 1, "pitch_stiffness", "N m/rad",
                    "pitch stiffness about the centre of mass, positive brings back",
                    [](const Point& p, std::size_t) { return p.handling.pitch_stiffness; }},
    PlacementFigure{"pitch_rate_damping_n_m_s_per_rad", 1, "pitch_rate_damping", "N m s/rad",
                    "pitch damping of rate about the centre of mass, positive slows down",
                    [](const Point& p, std::size_t) { return p.handling.pitch_rate_damping; }},
    PlacementFigure{"deck_pitch_stiffness_n_m_per_rad", 1, "deck_pitch_stiffness", "N m/rad",
                    "pitch stiffness with the rider as a mass on the deck",
                    [](const Point& p, std::size_t) { return p.handling.deck_pitch_stiffness; }},
    PlacementFigure{"deck_pitch_rate_damping_n_m_s_per_rad", 1, "deck_pitch_rate_damping", "N m s/rad",
                    "pitch damping of rate with the rider as a mass on the deck",
                    [](const Point& p, std::size_t) { return p.handling.deck_pitch_rate_damping; }},
    PlacementFigure{"roll_damping_n_m_s_per_rad", 1, "roll_damping", "N m s/rad",
                    "roll damping about the x axis, positive slows down",
                    [](const Point& p, std::size_t) { return p.handling.roll_damping; }},
    PlacementFigure{"surface_lift_n", 1, "surface_lift", "N", "lift on the placed surface, near field",
                    [](const Point& p, std::size_t surface) { return MaybeValue(p.parts[surface].lift); }},
    PlacementFigure{"surface_drag_n", 1, "surface_drag", "N", "drag of the placed surface, all of it",
                    [](const Point& p, std::size_t surface) { return MaybeValue(p.parts[surface].drag); }},
    PlacementFigure{"surface_local_lift_coefficient", 1, "surface_local_lift", "1",
                    "greatest local lift coefficient of the placed surface, either sign",
                    [](const Point& p, std::size_t) { return MaybeValue(p.surface_local_lift); }},
    PlacementFigure{
        "greatest_local_lift_coefficient", 1, "greatest_local_lift", "1",
        "greatest local lift coefficient of all strips, either sign",
        [](const Point& p, std::size_t) { return MaybeValue(p.greatest_lift.hardest.lift_coefficient); }},
    PlacementFigure{"percent_of_lift_limit", percent, "share_of_limit", "1",
                    "local lift coefficient over its section's limit, where nearest to it",
                    [](const Point& p, std::size_t) {
                      return p.nearest_limit ? MaybeValue(p.nearest_limit->hardest.share) : std::nullopt;
                    }},
    PlacementFigure{"tail_volume", 1, "tail_volume", "1",
                    "area of the surface times its arm over reference area and chord",
                    [](const Point& p, std::size_t) { return p.volume; }},
};

} // namespace

std::span<const PlacementFigure> placement_figures() {
  return figure_list;
}

std::optional<double> figure_of(const PlacementFigure& f, const PlacementPoint& p, std::size_t surface) {
  return p.solved() ? f.figure(p, surface) : std::nullopt;
}

} // namespace vlm
