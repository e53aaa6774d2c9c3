#include <algorithm>
#include <memory>
#include <utility>

#include <vlm/ride/loading.hpp>
#include <vlm/shape/outline.hpp>
#include <vlm/study/bracket.hpp>
#include <vlm/study/operation.hpp>

#include "border.hpp"
#include "handles.hpp"

namespace {

using namespace vlm;
using namespace vlm::c;

constexpr int most_strips = 1000, most_panels_per_strip = 200;

Curve curve_of(int curve) {
  return choice_of(curve, 2, "curve") == VLM_CURVE_SMOOTH ? Curve::smooth : Curve::straight;
}

CutShape cut_shape_of(int shape) {
  return choice_of(shape, 2, "cut_shape") == VLM_CUT_ELLIPTICAL ? CutShape::elliptical
                                                                : CutShape::rounded_rectangle;
}

EndShape end_shape_of(int shape, const char* name) {
  constexpr EndShape shapes[] = {EndShape::ellipse, EndShape::parabola, EndShape::cone};
  return shapes[choice_of(shape, 3, name)];
}

std::string text_of(const char* text, const char* name) {
  const std::string result = &at(text, name);
  if (result.empty())
    throw Refusal{VLM_ERROR_ARGUMENT, std::string(name) + ": found no text, wanted some"};
  return result;
}

vlm_case& read_into(vlm_case**& result, Case&& value) {
  auto handle = std::make_unique<vlm_case>();
  handle->value = std::move(value);
  return *(*result = handle.release());
}

// The lift carries what the loading leaves it to, as in a case file.
void take_mass(Case& c) {
  if (c.loading && !c.operation.lift_coefficient)
    c.operation.mass = carried_mass(*c.loading, c.craft.water.density);
}

void take_water(vlm_case& handle, const WaterChoice& choice, const Water& water) {
  handle.value.water = choice;
  handle.value.craft.water = water;
  take_mass(handle.value);
}

void add_section(vlm_case& handle, Section section, std::size_t* number) {
  check(section);
  at(number, "section") = handle.sections.size();
  handle.sections.push_back(std::move(section));
}

const Surface& surface_at(const vlm_case* handle, std::size_t surface) {
  const std::vector<Surface>& surfaces = at(handle, "handle").value.craft.surfaces;
  return surfaces[index_of(surface, surfaces.size(), "surface")];
}

Surface& surface_at(vlm_case* handle, std::size_t surface) {
  std::vector<Surface>& surfaces = at(handle, "handle").value.craft.surfaces;
  return surfaces[index_of(surface, surfaces.size(), "surface")];
}

int count_of(int count, int standard, int most, const char* name) {
  if (count < 0 || count > most)
    throw Refusal{VLM_ERROR_ARGUMENT, std::string(name) + ": found " + std::to_string(count) +
                                          ", wanted 1 to " + std::to_string(most) + ", or 0 for " +
                                          std::to_string(standard)};
  return count == 0 ? standard : count;
}

Drive drive_of(const vlm_drive& drive) {
  constexpr Drive::Kind kinds[] = {Drive::Kind::coasting, Drive::Kind::wave, Drive::Kind::pull,
                                   Drive::Kind::motor};
  return {kinds[choice_of(drive.kind, 4, "drive.kind")],
          drive.angle,
          drive.height,
          optional_of(drive.station, "drive.station"),
          vector_of(drive.position, "drive.position"),
          optional_of(drive.greatest_force, "drive.greatest_force"),
          optional_of(drive.greatest_power, "drive.greatest_power")};
}

} // namespace

vlm_status vlm_case_read(const char* path, vlm_case** result) {
  return guarded(__func__, [&] {
    result_of(result);
    read_into(result, read_case(text_of(path, "path")));
  });
}

vlm_status vlm_case_parse(const char* text, size_t length, const char* path, vlm_case** result) {
  return guarded(__func__, [&] {
    result_of(result);
    const std::span<const char> bytes = array(text, length, "text");
    read_into(result, parse_case(std::string(bytes.begin(), bytes.end()), text_of(path, "path")));
  });
}

vlm_status vlm_case_new(const char* title, vlm_case** result) {
  return guarded(__func__, [&] {
    result_of(result);
    Case c;
    c.path = "built in memory"; // for records, which name where a case came from
    c.text = "# " + c.path.string() + "\n";
    c.craft.title = text_of(title, "title");
    read_into(result, std::move(c));
  });
}

vlm_status vlm_case_copy(const vlm_case* original, vlm_case** result) {
  return guarded(__func__, [&] {
    result_of(result);
    *result = new vlm_case(at(original, "original"));
  });
}

vlm_status vlm_case_free(vlm_case** handle) {
  return free_handle(__func__, handle);
}

vlm_status vlm_case_num_notes(const vlm_case* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").value.notes.size(); });
}

vlm_status vlm_case_note(const vlm_case* handle, size_t index, const char** text) {
  return guarded(__func__, [&] {
    const std::vector<std::string>& notes = at(handle, "handle").value.notes;
    at(text, "text") = notes[index_of(index, notes.size(), "index")].c_str();
  });
}

vlm_status vlm_case_add_naca_section(vlm_case* handle, const char* digits, size_t* section) {
  return guarded(
      __func__, [&] { add_section(at(handle, "handle"), naca_section(text_of(digits, "digits")), section); });
}

vlm_status vlm_case_add_parabolic_section(vlm_case* handle, const char* name, double camber, double position,
                                          double thickness, size_t* section) {
  return guarded(__func__, [&] {
    add_section(at(handle, "handle"), {text_of(name, "name"), ParabolicMeanLine{camber, position}, thickness},
                section);
  });
}

vlm_status vlm_case_add_uniform_load_section(vlm_case* handle, const char* name, double design_lift, double a,
                                             double thickness, size_t* section) {
  return guarded(__func__, [&] {
    add_section(at(handle, "handle"), {text_of(name, "name"), UniformLoadMeanLine{design_lift, a}, thickness},
                section);
  });
}

vlm_status vlm_case_add_sampled_section(vlm_case* handle, const char* name, const double* x, const double* z,
                                        size_t count, double thickness, size_t* section) {
  return guarded(__func__, [&] {
    const auto places = array(x, count, "x"), heights = array(z, count, "z");
    add_section(at(handle, "handle"),
                {text_of(name, "name"),
                 SampledMeanLine{{places.begin(), places.end()}, {heights.begin(), heights.end()}},
                 thickness},
                section);
  });
}

vlm_status vlm_case_add_contour_section(vlm_case* handle, const char* name, const double* x, const double* z,
                                        size_t count, size_t* section) {
  return guarded(__func__, [&] {
    const auto places = array(x, count, "x"), heights = array(z, count, "z");
    add_section(at(handle, "handle"),
                contour_section(text_of(name, "name"), {places.begin(), places.end()},
                                {heights.begin(), heights.end()})
                    .section,
                section);
  });
}

vlm_status vlm_case_set_section_max_lift(vlm_case* handle, size_t section, double lift_coefficient) {
  return guarded(__func__, [&] {
    std::vector<Section>& sections = at(handle, "handle").sections;
    Section changed = sections[index_of(section, sections.size(), "section")];
    changed.max_lift_coefficient = lift_coefficient;
    check(changed);
    sections[section] = std::move(changed);
  });
}

vlm_status vlm_case_set_section_drag(vlm_case* handle, size_t section, const double* lift_coefficient,
                                     size_t num_lift_coefficients, const double* reynolds,
                                     size_t num_reynolds, const double* drag_coefficient,
                                     size_t num_drag_coefficients) {
  return guarded(__func__, [&] {
    std::vector<Section>& sections = at(handle, "handle").sections;
    Section changed = sections[index_of(section, sections.size(), "section")];
    const auto lift = array(lift_coefficient, num_lift_coefficients, "lift_coefficient"),
               at_reynolds = array(reynolds, num_reynolds, "reynolds"),
               drag = array_of(num_lift_coefficients * num_reynolds, drag_coefficient, num_drag_coefficients,
                               "drag_coefficient");
    changed.polar = SectionPolar{
        {lift.begin(), lift.end()}, {at_reynolds.begin(), at_reynolds.end()}, {drag.begin(), drag.end()}};
    check(changed);
    check(*changed.polar);
    sections[section] = std::move(changed);
  });
}

vlm_status vlm_case_add_surface(vlm_case* handle, const vlm_surface* surface, const vlm_station* stations,
                                size_t count) {
  return guarded(__func__, [&] {
    vlm_case& built = at(handle, "handle");
    Craft& craft = built.value.craft;
    const vlm_surface& given = at(surface, "surface");
    Surface added;
    added.name = text_of(given.name, "surface.name");
    for (const Surface& other : craft.surfaces)
      if (other.name == added.name)
        throw Refusal{VLM_ERROR_ARGUMENT,
                      "surface.name: found \"" + added.name + "\" a second time, wanted another name"};
    added.position = vector_of(given.position, "surface.position");
    added.incidence = finite(given.incidence, "surface.incidence");
    added.curve = curve_of(given.curve);
    added.pierces = given.mast != 0;
    for (const vlm_station& s : array(stations, count, "stations"))
      added.stations.push_back(
          {s.y, s.z, s.leading_edge, s.chord, finite(s.twist, "stations.twist"),
           built.sections[index_of(s.section, built.sections.size(), "stations.section")]});
    if (given.half != 0)
      added = mirrored(added);
    outline_figures(added); // refuses what is no outline, before the case has it
    const PanelCounts counts{count_of(given.strips, PanelCounts{}.strips, most_strips, "surface.strips"),
                             count_of(given.panels_per_strip, PanelCounts{}.panels_per_strip,
                                      most_panels_per_strip, "surface.panels_per_strip")};
    built.value.lattice.counts.resize(craft.surfaces.size());
    built.value.lattice.counts.push_back(counts);
    if (craft.surfaces.empty())
      craft.reference_surface = added.name;
    craft.surfaces.push_back(std::move(added));
  });
}

vlm_status vlm_case_stretch_surface(vlm_case* handle, size_t surface, const double* area,
                                    const double* span) {
  return guarded(__func__, [&] {
    Surface& changed = surface_at(handle, surface);
    const auto wanted_area = optional_of(area, "area"), wanted_span = optional_of(span, "span");
    if (!wanted_area && !wanted_span)
      throw Refusal{VLM_ERROR_ARGUMENT, "area, span: found neither, wanted one of them or both"};
    for (const auto& [size, name] : {std::pair(wanted_area, "area"), std::pair(wanted_span, "span")})
      if (size && !(*size > 0))
        throw Refusal{VLM_ERROR_ARGUMENT,
                      std::string(name) + ": found " + std::to_string(*size) + ", wanted one above 0"};
    changed = stretched(changed, wanted_area, wanted_span);
  });
}

vlm_status vlm_case_set_incidence(vlm_case* handle, size_t surface, double incidence) {
  return guarded(__func__, [&] { surface_at(handle, surface).incidence = finite(incidence, "incidence"); });
}

vlm_status vlm_case_num_surfaces(const vlm_case* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").value.craft.surfaces.size(); });
}

vlm_status vlm_case_surface_name(const vlm_case* handle, size_t surface, const char** name) {
  return guarded(__func__, [&] { at(name, "name") = surface_at(handle, surface).name.c_str(); });
}

vlm_status vlm_case_find_surface(const vlm_case* handle, const char* name, size_t* surface) {
  return guarded(__func__, [&] {
    at(surface, "surface") = surface_index(at(handle, "handle").value.craft, &at(name, "name"));
  });
}

vlm_status vlm_case_outline(const vlm_case* handle, size_t surface, vlm_outline* outline) {
  return guarded(__func__, [&] {
    const OutlineFigures f = outline_figures(surface_at(handle, surface));
    const Vec3& edge = f.mean_chord_leading_edge;
    at(outline, "outline") = {sound(f.area),
                              sound(f.span),
                              sound(f.aspect_ratio),
                              sound(f.mean_chord),
                              {sound(edge.x), sound(edge.y), sound(edge.z)},
                              sound(f.developed_area)};
  });
}

vlm_status vlm_case_set_fuselage_cuts(vlm_case* handle, int cut_shape, const vlm_fuselage_cut* cuts,
                                      size_t count) {
  return guarded(__func__, [&] {
    Fuselage fuselage{cut_shape_of(cut_shape), {}};
    for (const vlm_fuselage_cut& c : array(cuts, count, "cuts"))
      fuselage.cuts.push_back({c.x, c.width, c.height, c.centre, c.corner});
    const Skin checked(fuselage);
    at(handle, "handle").value.craft.fuselage = std::move(fuselage);
  });
}

vlm_status vlm_case_set_fuselage_size(vlm_case* handle, int cut_shape, const vlm_fuselage_size* size) {
  return guarded(__func__, [&] {
    const vlm_fuselage_size& s = at(size, "size");
    Fuselage fuselage =
        shaped_fuselage(cut_shape_of(cut_shape),
                        {s.nose, s.centre, s.length, s.width, s.height, s.corner,
                         end_shape_of(s.nose_shape, "size.nose_shape"),
                         end_shape_of(s.tail_shape, "size.tail_shape"), s.nose_length, s.tail_length});
    at(handle, "handle").value.craft.fuselage = std::move(fuselage);
  });
}

vlm_status vlm_case_set_fuselage_panels(vlm_case* handle, int rings, int around) {
  return guarded(__func__, [&] {
    constexpr int most = 1000;
    if (rings < 4 || rings > most)
      throw Refusal{VLM_ERROR_ARGUMENT,
                    "rings: found " + std::to_string(rings) + ", wanted 4 to " + std::to_string(most)};
    if (around < 4 || around > most || around % 4 != 0)
      throw Refusal{VLM_ERROR_ARGUMENT, "around: found " + std::to_string(around) +
                                            ", wanted a multiple of 4 from 4 to " + std::to_string(most)};
    at(handle, "handle").value.lattice.body = {rings, around};
  });
}

vlm_status vlm_case_set_reference(vlm_case* handle, size_t surface) {
  return guarded(__func__, [&] {
    const std::string name = surface_at(handle, surface).name;
    handle->value.craft.reference_surface = name;
  });
}

vlm_status vlm_case_reference(const vlm_case* handle, vlm_reference* size) {
  return guarded(__func__, [&] {
    const Reference r = reference(at(handle, "handle").value.craft);
    at(size, "reference") = {sound(r.area), sound(r.chord), sound(r.span)};
  });
}

vlm_status vlm_case_set_moment_point(vlm_case* handle, const double* point) {
  return guarded(__func__, [&] {
    at(handle, "handle").value.craft.moment_point = vector_of(&at(point, "point"), "point");
  });
}

vlm_status vlm_case_set_fresh_water(vlm_case* handle, double temperature) {
  return guarded(__func__, [&] {
    take_water(at(handle, "handle"), {WaterChoice::Kind::fresh, temperature, 0}, fresh_water(temperature));
  });
}

vlm_status vlm_case_set_sea_water(vlm_case* handle, double temperature, double salinity) {
  return guarded(__func__, [&] {
    take_water(at(handle, "handle"), {WaterChoice::Kind::sea, temperature, salinity},
               sea_water(temperature, salinity));
  });
}

vlm_status vlm_case_set_water(vlm_case* handle, const vlm_water* water) {
  return guarded(__func__, [&] {
    vlm_case& changed = at(handle, "handle");
    const vlm_water& w = at(water, "water");
    for (const auto& [figure, name] : {std::pair(w.density, "water.density"),
                                       std::pair(w.kinematic_viscosity, "water.kinematic_viscosity"),
                                       std::pair(w.vapour_pressure, "water.vapour_pressure")})
      if (!(finite(figure, name) > 0))
        throw Refusal{VLM_ERROR_ARGUMENT,
                      std::string(name) + ": found " + std::to_string(figure) + ", wanted one above 0"};
    take_water(changed, changed.value.water, {w.density, w.kinematic_viscosity, w.vapour_pressure});
  });
}

vlm_status vlm_case_water(const vlm_case* handle, vlm_water* water) {
  return guarded(__func__, [&] {
    const Water& w = at(handle, "handle").value.craft.water;
    at(water, "water") = {w.density, w.kinematic_viscosity, w.vapour_pressure};
  });
}

vlm_status vlm_case_set_still_surface(vlm_case* handle, const vlm_still_surface* surface) {
  return guarded(__func__, [&] {
    constexpr Boundary boundaries[] = {Boundary::none, Boundary::free, Boundary::wall};
    Case& changed = at(handle, "handle").value;
    const vlm_still_surface& s = at(surface, "surface");
    changed.craft.still_surface = {
        boundaries[choice_of(s.boundary, 3, "surface.boundary")], optional_of(s.depth, "surface.depth"),
        optional_of(s.clearance, "surface.clearance"), finite(s.bank, "surface.bank")};
    changed.boundary_is_written = true;
  });
}

vlm_status vlm_case_set_operation(vlm_case* handle, const vlm_operation* operation) {
  return guarded(__func__, [&] {
    Case& changed = at(handle, "handle").value;
    const vlm_operation& o = at(operation, "operation");
    const Operation set{optional_of(o.speed, "operation.speed"), optional_of(o.mass, "operation.mass"),
                        optional_of(o.lift_coefficient, "operation.lift_coefficient")};
    for (const auto& [figure, name] :
         {std::pair(set.speed, "operation.speed"), std::pair(set.mass, "operation.mass")})
      if (figure && !(*figure > 0))
        throw Refusal{VLM_ERROR_ARGUMENT,
                      std::string(name) + ": found " + std::to_string(*figure) + ", wanted one above 0"};
    if (set.mass && set.lift_coefficient)
      throw Refusal{VLM_ERROR_ARGUMENT,
                    "operation.lift_coefficient: found it beside a mass, wanted one of the two"};
    if (set.mass && changed.loading)
      throw Refusal{VLM_ERROR_ARGUMENT, "operation.mass: found it beside a rider, wanted one of the two: the "
                                        "masses give what the lift carries"};
    changed.operation = set;
    take_mass(changed);
  });
}

vlm_status vlm_case_operation(const vlm_case* handle, vlm_operation* operation) {
  return guarded(__func__, [&] {
    const Operation& o = at(handle, "handle").value.operation;
    at(operation, "operation") = {figure_of(o.speed), figure_of(o.mass), figure_of(o.lift_coefficient)};
  });
}

vlm_status vlm_case_lift_coefficient(const vlm_case* handle, double* lift_coefficient) {
  return guarded(__func__, [&] {
    const Case& c = at(handle, "handle").value;
    at(lift_coefficient, "lift_coefficient") = sound(vlm::lift_coefficient(c.operation, c.craft));
  });
}

vlm_status vlm_case_needs_bracket(const vlm_case* handle, double speed, int* needed) {
  return guarded(__func__, [&] {
    const Craft& craft = at(handle, "handle").value.craft;
    at(needed, "needed") = needs_bracket(craft, speed_of(speed)) ? 1 : 0;
  });
}

vlm_status vlm_case_set_wake(vlm_case* handle, int along, const double* angle) {
  return guarded(__func__, [&] {
    WakeChoice wake;
    wake.along =
        choice_of(along, 2, "along") == VLM_WAKE_BODY ? WakeChoice::Along::body : WakeChoice::Along::stream;
    wake.angle = optional_of(angle, "angle");
    if (wake.angle && wake.along == WakeChoice::Along::body)
      throw Refusal{VLM_ERROR_ARGUMENT, "angle: found it beside VLM_WAKE_BODY, wanted null"};
    at(handle, "handle").value.wake = wake;
  });
}

vlm_status vlm_case_set_friction(vlm_case* handle, int line, double transition) {
  return guarded(__func__, [&] {
    DragChoice drag;
    drag.line = choice_of(line, 2, "line") == VLM_FRICTION_ITTC_1957 ? FrictionLine::ittc1957
                                                                     : FrictionLine::flat_plate;
    drag.transition = finite(transition, "transition");
    if (transition < 0 || transition > 1)
      throw Refusal{VLM_ERROR_ARGUMENT,
                    "transition: found " + std::to_string(transition) + ", wanted 0 to 1"};
    at(handle, "handle").value.drag = drag;
  });
}

vlm_status vlm_case_add_twist_shape(vlm_case* handle, const char* name, const double* fraction,
                                    const double* value, size_t count, int curve) {
  return guarded(__func__, [&] {
    vlm_case& changed = at(handle, "handle");
    const auto fractions = array(fraction, count, "fraction"), values = array(value, count, "value");
    TwistShape shape{text_of(name, "name"),
                     {fractions.begin(), fractions.end()},
                     {values.begin(), values.end()},
                     curve_of(curve)};
    if (count < 2 || fractions.front() != 0 || fractions.back() != 1)
      throw Refusal{VLM_ERROR_ARGUMENT, "fraction: wanted two or more, the first 0 and the last 1"};
    for (std::size_t i = 0; i < count; ++i) {
      finite(values[i], "value");
      if (i > 0 && !(fractions[i] > fractions[i - 1]))
        throw Refusal{VLM_ERROR_ARGUMENT, "fraction: found " + std::to_string(fractions[i]) + " after " +
                                              std::to_string(fractions[i - 1]) + ", wanted them to rise"};
    }
    std::vector<TwistShape>& shapes = changed.value.twist_shapes;
    const bool taken = shape.name == linear_twist().name ||
                       std::any_of(shapes.begin(), shapes.end(),
                                   [&](const TwistShape& other) { return other.name == shape.name; });
    if (taken)
      throw Refusal{VLM_ERROR_ARGUMENT,
                    "name: found \"" + shape.name + "\", which there is already, wanted another"};
    shapes.push_back(std::move(shape));
  });
}

vlm_status vlm_case_set_loading(vlm_case* handle, const vlm_rider* rider, const vlm_deck* deck,
                                const vlm_drive* drive, const vlm_stance* stance, const vlm_mass* masses,
                                size_t count) {
  return guarded(__func__, [&] {
    Case& changed = at(handle, "handle").value;
    const vlm_rider& r = at(rider, "rider");
    const vlm_deck& d = at(deck, "deck");
    Loading loading{{r.mass, r.centre_height, r.pitch_inertia},
                    {},
                    {d.height, d.angle, d.mast_rake},
                    stance != nullptr ? std::optional(Stance{stance->front, stance->back}) : std::nullopt,
                    drive_of(at(drive, "drive"))};
    for (const vlm_mass& m : array(masses, count, "masses"))
      loading.masses.push_back({text_of(m.name, "masses.name"), m.mass, vector_of(m.centre, "masses.centre"),
                                m.displaced_volume, m.pitch_inertia});
    check(loading, changed.craft.water.density);
    changed.loading = std::move(loading);
    take_mass(changed);
  });
}
