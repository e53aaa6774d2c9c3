#include <vlm/file/comparison_output.hpp>

#include <algorithm>

#include <vlm/base/version.hpp>
#include <vlm/file/comparison_figures.hpp>
#include <vlm/file/trim_output.hpp>
#include <vlm/flow/dense_factors.hpp>

namespace vlm {
namespace {

using namespace compared;

Fields swap_fields(const ComparisonResult& r, const ComparedCraft& c) {
  const auto& swap = c.swap;
  const bool fit = swap && swap->fit, near = swap && swap->nearest;
  return {{"swap_case", fit ? member_title(r, swap->fit->member) : std::string()},
          {"swap_area_scale", fit ? Figure(swap->fit->area_scale) : std::nullopt},
          {"swap_incidence_change_deg", fit ? Figure(in_degrees(swap->fit->incidence_change)) : std::nullopt},
          {"swap_as_drawn_case", near ? member_title(r, swap->nearest->member) : std::string()},
          {"swap_as_drawn_load_station_off_mm",
           near ? Figure(in_mm(swap->nearest->by.load_station)) : std::nullopt},
          {"swap_as_drawn_neutral_point_off_mm",
           near ? Figure(in_mm(swap->nearest->by.neutral_point)) : std::nullopt},
          {"swap_refusal", swap ? swap->refusal : std::string()}};
}

Fields craft_fields(const ComparisonResult& r, std::size_t i) {
  const ComparedCraft& c = r.comparison.crafts[i];
  Fields fields{{"title", r.cases[i].craft.title},
                {"case_file", r.cases[i].path.string()},
                {"area_cm2", in_cm2(c.outline.area)},
                {"span_mm", in_mm(c.outline.span)},
                {"aspect_ratio", c.outline.aspect_ratio},
                {"mean_chord_mm", in_mm(c.outline.mean_chord)},
                {"carried_mass_kg", c.carried_mass},
                {"lift_at_equal_angle_n", c.lift},
                {"equal_lift_area_cm2", in_cm2(c.equal_area)},
                {"equal_lift_refusal", c.equal_area_refusal},
                {"angle_deg", balanced(c, [](const TrimPoint& p) { return in_degrees(p.state.alpha); })},
                {"load_station_mm", balanced(c, load_station)},
                {"drag_n", balanced(c, [](const TrimPoint& p) { return p.state.drag; })},
                {"lift_to_drag", c.balanced ? c.balanced->lift_to_drag : std::nullopt}};
  const HandlingFigures& h = c.handling;
  fields.push_back({"neutral_point_mm", in_mm(h.neutral_point)});
  fields.push_back({"static_margin_percent", in_percent(h.static_margin)});
  fields.push_back({"pitch_stiffness_n_m_per_rad", h.pitch_stiffness});
  fields.push_back({"roll_damping_n_m_s_per_rad", h.roll_damping});
  fields.push_back({"refusal", c.refusal});
  for (const NamedSpeedMark& m : named_speed_marks) {
    const std::string name = m.name;
    fields.push_back({name + "_speed_m_s", marked(c, m.mark, &SpeedFigures::speed)});
    fields.push_back({name + "_drag_n", marked(c, m.mark, &SpeedFigures::drag)});
    fields.push_back({name + "_power_w", marked(c, m.mark, &SpeedFigures::power)});
    fields.push_back({name + "_refusal", c.marks ? ((*c.marks).*m.mark).refusal : "no balance at any speed"});
  }
  fields.push_back({"best_glide_lift_to_drag", marked_glide(c)});
  fields.push_back({"next_smaller", c.step ? r.cases[c.step->smaller].craft.title : std::string()});
  fields.push_back({"take_off_step_m_s", c.step ? c.step->take_off : std::nullopt});
  fields.push_back({"take_off_step_uneven", c.step.has_value() && c.step->uneven_take_off});
  fields.push_back({"lift_step_n", c.step ? c.step->lift : std::nullopt});
  fields.push_back({"lift_step_uneven", c.step.has_value() && c.step->uneven_lift});
  fields.push_back({"track_mm", c.place ? Figure(in_mm(c.place->recommended)) : std::nullopt});
  fields.push_back({"track_off_at_most_mm", c.place ? Figure(in_mm(c.place->worst)) : std::nullopt});
  for (Field& field : swap_fields(r, c))
    fields.push_back(std::move(field));
  fields.push_back({"image_holds", !c.image_fails});
  return fields;
}

Fields speed_fields(const ComparedCraft& c, std::size_t k) {
  const TrimPoint& p = c.points[k];
  return {{"load_station_mm", at_speed(p, load_station)},
          {"lift_n", at_speed(p, [](const TrimPoint& q) { return q.state.lift; })},
          {"drag_n", at_speed(p, [](const TrimPoint& q) { return q.state.drag; })},
          {"lift_to_drag", p.solved() ? p.lift_to_drag : std::nullopt},
          {"track_mm", c.place ? in_mm(c.place->positions[k]) : std::nullopt},
          {"refusal", p.refusal}};
}
} // namespace

void write_comparison_json(std::ostream& out, const ComparisonResult& r) {
  std::vector<std::string> members;
  for (std::size_t m = 0; m < r.new_family.size(); ++m)
    members.push_back(member_title(r, m));
  const std::size_t num_crafts = r.comparison.crafts.size();
  Fields head{{"program", r.program},
              {"version", std::string(version())},
              {"linear_algebra", linear_algebra()},
              {"complete", r.comparison.complete},
              {"num_points", static_cast<std::int64_t>(num_crafts)},
              {"num_points_wanted", static_cast<std::int64_t>(r.cases.size())},
              {"speed_m_s", r.choice.speed},
              {"equal_angle_deg", in_degrees(r.comparison.angle)},
              {"equal_angle_is_first_balanced", !r.choice.angle},
              {"first_track_mm", in_mm(r.choice.track)},
              {"new_stabilizers", members},
              {"caution", std::string(trim_caution)}};
  if (std::any_of(r.comparison.crafts.begin(), r.comparison.crafts.end(),
                  [](const ComparedCraft& c) { return c.image_fails; }))
    head.push_back({"warning", warning("some crafts")});
  write_json(out, head, num_crafts, [&](std::size_t i) {
    Fields fields = craft_fields(r, i);
    std::vector<Fields> speeds;
    for (std::size_t k = 0; k < r.comparison.crafts[i].points.size(); ++k) {
      speeds.push_back({{"speed_m_s", r.choice.speeds[k]}});
      for (Field& field : speed_fields(r.comparison.crafts[i], k))
        speeds.back().push_back(std::move(field));
    }
    fields.push_back({"notes", r.cases[i].notes});
    fields.push_back({"speeds", speeds});
    return fields;
  });
}

void write_comparison_csv(std::ostream& out, const ComparisonResult& r) {
  for (std::size_t i = 0; i < r.comparison.crafts.size(); ++i) {
    const ComparedCraft& c = r.comparison.crafts[i];
    Fields fields = craft_fields(r, i);
    for (std::size_t k = 0; k < c.points.size(); ++k)
      for (Field& field : speed_fields(c, k)) {
        field.name += " at " + shown(r.choice.speeds[k]) + " m/s";
        fields.push_back(std::move(field));
      }
    if (i == 0)
      out << csv_names(fields);
    out << csv_values(fields);
  }
}

} // namespace vlm
