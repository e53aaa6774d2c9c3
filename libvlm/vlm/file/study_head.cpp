#include <vlm/file/study_head.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vlm/base/version.hpp>
#include <vlm/file/text_table.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/system.hpp>
#include <vlm/force/cavitation.hpp>
#include <vlm/force/lift_limit.hpp>
#include <vlm/force/waves.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

constexpr std::size_t most_surfaces_in_head = 4, most_note_lines = 3, longest_name_in_head = 24;
constexpr double no_drag = 1e-10; // coefficients below are rounding of sums of order one

const char* system_name(const Lattice& lattice) {
  return system_kind(lattice) == SystemKind::dense ? "dense" : "hierarchical";
}

const char* spacing_name(Spacing spacing) {
  return spacing == Spacing::uniform ? "uniform" : "semicircle";
}

std::vector<std::string> surface_lines(const StudyHead& head) {
  const auto& surfaces = head.input.craft.surfaces;
  TextTable table;
  table.first_is_text = true;
  table.heads = {"surface",        "area\ncm²",
                 "span\nmm",       "aspect\nratio",
                 "mean\nchord mm", "its leading\nedge mm",
                 "incidence\ndeg", "lattice\nstrips×panels"};
  for (std::size_t i = 0; i < std::min(surfaces.size(), most_surfaces_in_head); ++i) {
    const OutlineFigures size = outline_figures(surfaces[i]);
    const PanelCounts& counts = head.input.lattice.counts[i];
    table.rows.push_back({cut(surfaces[i].name, longest_name_in_head), fixed(size.area * 1e4, 1),
                          fixed(in_mm(size.span), 1), fixed(size.aspect_ratio, 3),
                          fixed(in_mm(size.mean_chord), 2), fixed(in_mm(size.mean_chord_leading_edge.x), 2),
                          fixed(in_degrees(surfaces[i].incidence), 2),
                          std::to_string(counts.strips) + "×" + std::to_string(counts.panels_per_strip)});
  }
  std::vector<std::string> lines = table.lines();
  if (surfaces.size() > most_surfaces_in_head)
    lines.push_back("and " + std::to_string(surfaces.size() - most_surfaces_in_head) +
                    " more surfaces: see --json");
  return lines;
}

std::string wake_text(const StudyHead& head) {
  if (head.input.wake.along == WakeChoice::Along::body)
    return "along the body x axis (" + head.wake_choice + ")";
  if (!head.wake_angle)
    return "laid anew along the stream at each angle (" + head.wake_choice + ")";
  return "along the stream at " + fixed(in_degrees(*head.wake_angle), 3) + " deg (" + head.wake_choice + ")";
}

std::string water_text(const Case& input) {
  const Water& water = input.craft.water;
  const bool sea = input.water.kind == WaterChoice::Kind::sea;
  return name_of(input.water.kind) + ", " + fixed(input.water.temperature, 1) + " °C" +
         (sea ? ", " + fixed(input.water.salinity, 1) + " g/kg" : "") + ": " + fixed(water.density, 1) +
         " kg/m³, viscosity " + fixed(1e6 * water.kinematic_viscosity, 4) + "e-6 m²/s, vapour at " +
         fixed(water.vapour_pressure, 0) + " Pa";
}

std::vector<std::string> still_surface_lines(const Case& input) {
  const StillSurface& still = input.craft.still_surface;
  std::string text;
  if (still.depth) {
    text = "depth " + fixed(in_mm(*still.depth), 1) + " mm, bank " + fixed(in_degrees(still.bank), 1) +
           " deg, " + (still.boundary == Boundary::free ? "mirrored at constant pressure" : "not mirrored");
    const auto froude = froude_of(input);
    if (froude) // without a speed of its own a study prints them with each of its speeds
      text += "; Froude numbers of depth " + fixed(froude->depth, 2) + ", chord " + fixed(froude->chord, 2) +
              ", span " + fixed(froude->span, 2);
  }
  if (still.boundary == Boundary::wall)
    text +=
        (text.empty() ? "" : "; ") + std::string("wall ") + fixed(in_mm(*still.clearance), 1) + " mm below";
  if (text.empty())
    return {};
  std::vector<std::string> lines = wrapped("still surface " + text, table_width, 14);
  if (needs_bracket(input.craft, input.operation.speed))
    for (const std::string& line : wrapped(
             "warning       depth Froude number below 3, where the mirror image does not hold: by linear "
             "theory the still surface does to the downwash " +
                 fixed(share_of_image(*froude_of(input)), 2) +
                 " times what the image does. Polars and studies give figures without it, too; total drag, "
                 "where it is given, counts waves by linear theory",
             table_width, 14))
      lines.push_back(line);
  return lines;
}

Fields still_surface_fields(const Case& input) {
  const StillSurface& still = input.craft.still_surface;
  const auto froude = froude_of(input);
  Fields fields{{"boundary", std::string(still.boundary == Boundary::free   ? "free"
                                         : still.boundary == Boundary::wall ? "wall"
                                                                            : "none")},
                {"depth_mm", in_mm(still.depth)},
                {"clearance_mm", in_mm(still.clearance)},
                {"bank_deg", in_degrees(still.bank)},
                {"depth_froude_number", froude ? std::optional(froude->depth) : std::nullopt},
                {"chord_froude_number", froude ? std::optional(froude->chord) : std::nullopt},
                {"span_froude_number", froude ? std::optional(froude->span) : std::nullopt},
                {"share_of_image", froude && still.boundary == Boundary::free
                                       ? std::optional(share_of_image(*froude))
                                       : std::nullopt}};
  if (froude) // unknown without a speed
    fields.push_back({"image_holds", !needs_bracket(input.craft, input.operation.speed)});
  return fields;
}

Fields water_fields(const Case& input) {
  const Water& water = input.craft.water;
  const bool sea = input.water.kind == WaterChoice::Kind::sea;
  return {{"kind", name_of(input.water.kind)},
          {"temperature_c", input.water.temperature},
          {"salinity_g_kg", sea ? std::optional(input.water.salinity) : std::nullopt},
          {"density_kg_m3", water.density},
          {"kinematic_viscosity_m2_s", water.kinematic_viscosity},
          {"vapour_pressure_pa", water.vapour_pressure}};
}

Fields point_fields(const Vec3& point) {
  return {{"x_mm", in_mm(point.x)}, {"y_mm", in_mm(point.y)}, {"z_mm", in_mm(point.z)}};
}

Fields surface_fields(const Surface& surface, const PanelCounts& counts) {
  const OutlineFigures size = outline_figures(surface);
  return {{"surface", surface.name},
          {"area_cm2", size.area * 1e4},
          {"span_mm", in_mm(size.span)},
          {"aspect_ratio", size.aspect_ratio},
          {"mean_chord_mm", in_mm(size.mean_chord)},
          {"mean_chord_leading_edge", point_fields(size.mean_chord_leading_edge)},
          {"developed_area_cm2", size.developed_area * 1e4},
          {"incidence_deg", in_degrees(surface.incidence)},
          {"strips", std::int64_t{counts.strips}},
          {"panels_per_strip", std::int64_t{counts.panels_per_strip}}};
}

} // namespace

double in_degrees(double radians) {
  return std::round(radians * (180 / std::numbers::pi) * 1e10) / 1e10;
}

std::optional<double> in_degrees(const std::optional<double>& radians) {
  return radians ? std::optional(in_degrees(*radians)) : std::nullopt;
}

double in_mm(double metres) {
  return 1000 * metres;
}

std::optional<double> in_mm(const std::optional<double>& metres) {
  return metres ? std::optional(in_mm(*metres)) : std::nullopt;
}

std::optional<double> in_percent(const std::optional<double>& fraction) {
  return fraction ? std::optional(100 * *fraction) : std::nullopt;
}

std::optional<double> near_field_difference_percent(const std::optional<double>& near_drag_excess,
                                                    const std::optional<double>& induced_drag_coefficient) {
  if (!near_drag_excess || !induced_drag_coefficient || std::abs(*induced_drag_coefficient) <= no_drag)
    return std::nullopt;
  return 100 * *near_drag_excess / *induced_drag_coefficient;
}

std::string limit_mark_of(const std::optional<double>& share_of_limit) {
  return beyond_lift_limit(share_of_limit) ? std::string(limit_mark) : std::string();
}

std::optional<std::string> cavitation_warning(const Craft& craft, double speed) {
  const double number = cavitation_number(craft, speed);
  if (number >= low_cavitation_number)
    return std::nullopt;
  return "warning: cavitation number " + fixed(number, 2) + " at " +
         fixed(speed, decimals_needed({speed}, 1)) + " m/s where a wing is least deep: below some " +
         fixed(low_cavitation_number, 0) +
         " (common practice, no source) wings may cavitate, which is not computed";
}

std::optional<double> force_unit(const Case& input) {
  const auto& speed = input.operation.speed;
  if (!speed)
    return std::nullopt;
  return 0.5 * input.craft.water.density * *speed * *speed * reference(input.craft).area;
}

std::optional<FroudeNumbers> froude_of(const Case& input) {
  const StillSurface& still = input.craft.still_surface;
  if (!still.depth || !input.operation.speed)
    return std::nullopt;
  const Reference size = reference(input.craft);
  return froude_numbers(*input.operation.speed, *still.depth, size.chord, size.span);
}

const std::string& surface_name(const StudyHead& head, std::size_t surface) {
  return head.input.craft.surfaces.at(surface).name;
}

std::vector<std::string> head_lines(const StudyHead& head) {
  const Craft& craft = head.input.craft;
  const Reference size = reference(craft);
  std::vector<std::string> lines{cut(craft.title, table_width)};
  const auto append = [&](const std::vector<std::string>& more) {
    lines.insert(lines.end(), more.begin(), more.end());
  };
  append(surface_lines(head));
  if (head.body)
    append(wrapped("fuselage      length " + fixed(in_mm(head.body->length), 1) + ", width " +
                       fixed(in_mm(head.body->width), 1) + ", height " + fixed(in_mm(head.body->height), 1) +
                       " mm, skin " + fixed(head.body->wetted_area * 1e4, 1) + " cm²; shell of " +
                       std::to_string(head.input.lattice.body.rings) + "×" +
                       std::to_string(head.input.lattice.body.around) + " panels",
                   table_width, 14));
  append(wrapped("reference     " + cut(craft.reference_surface, longest_name_in_head) + ": area " +
                     fixed(size.area * 1e4, 1) + " cm², mean chord " + fixed(in_mm(size.chord), 2) +
                     " mm, span " + fixed(in_mm(size.span), 1) + " mm",
                 table_width, 14));
  append(wrapped("moment point  x " + fixed(in_mm(craft.moment_point.x), 1) + ", y " +
                     fixed(in_mm(craft.moment_point.y), 1) + ", z " + fixed(in_mm(craft.moment_point.z), 1) +
                     " mm; " + spacing_name(head.lattice.spacing) + " spacing" +
                     (head.lattice.displaced ? ", panels displaced" : "") + "; solver " +
                     system_name(head.lattice) + ", " + linear_algebra(),
                 table_width, 14));
  append(wrapped("water         " + water_text(head.input), table_width, 14));
  append(still_surface_lines(head.input));
  append(wrapped("wake          " + wake_text(head), table_width, 14));
  if (const auto& speed = head.input.operation.speed)
    if (const auto warning = cavitation_warning(craft, *speed))
      append(wrapped(*warning, table_width, 2));

  std::vector<std::string> notes;
  for (const std::string& note : head.input.notes)
    for (const std::string& line : wrapped("note          " + note, table_width, 14))
      notes.push_back(line);
  if (notes.size() > most_note_lines) {
    notes.resize(most_note_lines - 1);
    notes.emplace_back("note          and more: see --json");
  }
  append(notes);
  return lines;
}

Fields head_fields(const StudyHead& head, const StudySummary& summary, std::size_t num_points_wanted) {
  const Case& input = head.input;
  const Craft& craft = input.craft;
  const Reference size = reference(craft);
  std::vector<Fields> surfaces;
  for (std::size_t i = 0; i < craft.surfaces.size(); ++i)
    surfaces.push_back(surface_fields(craft.surfaces[i], input.lattice.counts[i]));
  Fields fuselage;
  if (head.body)
    fuselage = {{"length_mm", in_mm(head.body->length)},
                {"width_mm", in_mm(head.body->width)},
                {"height_mm", in_mm(head.body->height)},
                {"wetted_area_cm2", head.body->wetted_area * 1e4},
                {"volume_cm3", head.body->volume * 1e6},
                {"rings", std::int64_t{input.lattice.body.rings}},
                {"around", std::int64_t{input.lattice.body.around}}};
  const bool body = input.wake.along == WakeChoice::Along::body;
  const auto degrees = head.wake_angle ? std::optional(in_degrees(*head.wake_angle)) : std::nullopt;
  return {{"program", head.program},
          {"version", std::string(version())},
          {"linear_algebra", linear_algebra()},
          {"title", craft.title},
          {"case_file", input.path.string()},
          {"complete", summary.complete},
          {"num_points", static_cast<std::int64_t>(summary.num_points)},
          {"num_points_wanted", static_cast<std::int64_t>(num_points_wanted)},
          {"factorisations", static_cast<std::int64_t>(summary.num_factorisations)},
          {"solves", static_cast<std::int64_t>(summary.num_solves)},
          {"surfaces", surfaces},
          {"fuselage", fuselage},
          {"reference", Fields{{"surface", craft.reference_surface},
                               {"area_cm2", size.area * 1e4},
                               {"mean_chord_mm", in_mm(size.chord)},
                               {"span_mm", in_mm(size.span)}}},
          {"moment_point", point_fields(craft.moment_point)},
          {"wake", Fields{{"along", std::string(body ? "body" : "stream")},
                          {"angle_deg", body ? std::nullopt : degrees},
                          {"chosen_by", head.wake_choice}}},
          {"water", water_fields(input)},
          {"still_surface", still_surface_fields(input)},
          {"lattice", Fields{{"spacing", std::string(spacing_name(head.lattice.spacing))},
                             {"displaced", head.lattice.displaced},
                             {"system", std::string(system_name(head.lattice))},
                             {"num_strips", static_cast<std::int64_t>(head.lattice.strips.size())},
                             {"num_panels", static_cast<std::int64_t>(head.lattice.num_panels())}}},
          {"operation", Fields{{"speed_m_s", input.operation.speed},
                               {"mass_kg", input.operation.mass},
                               {"lift_coefficient", input.operation.lift_coefficient}}},
          {"notes", input.notes}};
}

} // namespace vlm
