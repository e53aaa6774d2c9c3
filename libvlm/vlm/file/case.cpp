#include <vlm/file/case.hpp>

#include <algorithm>
#include <utility>

#include <vlm/base/error.hpp>
#include <vlm/file/contour_file.hpp>
#include <vlm/file/fuselage_reader.hpp>
#include <vlm/file/loading_reader.hpp>
#include <vlm/file/mast_reader.hpp>
#include <vlm/file/section_reader.hpp>
#include <vlm/file/toml_reader.hpp>
#include <vlm/file/typed_figures.hpp>
#include <vlm/file/water_reader.hpp>

namespace vlm {
namespace {

constexpr double cm2_per_m2 = 1e4;

constexpr int most_strips = 1000, most_panels_per_strip = 200;
constexpr std::size_t most_sections = 200, most_surfaces = 100, most_stations_in_all = 2000,
                      most_twist_shapes = 100, most_fractions = 1000;
constexpr std::size_t longest_title = 100;

constexpr double coincidence = 1e-6;         // [m] stations nearer to each other are one place
constexpr double least_fraction_step = 1e-6; // between fractions of a twist shape
constexpr double cos_sharpest_turn = -0.866; // 150°: more is a list out of order, not a corner

Curve optional_curve(const TomlValue& value) {
  return value.present() && value.choice({"straight", "smooth"}) == 1 ? Curve::smooth : Curve::straight;
}

bool optional_boolean(const TomlValue& value) {
  return value.present() && value.boolean();
}

PanelCounts panel_counts(const TomlValue& table, PanelCounts defaults) {
  if (const TomlValue strips = table["strips"]; strips.present())
    defaults.strips = strips.count(1, most_strips);
  if (const TomlValue panels = table["panels_per_strip"]; panels.present())
    defaults.panels_per_strip = panels.count(1, most_panels_per_strip);
  return defaults;
}

void check_order(const std::vector<TomlValue>& items, const std::vector<Station>& stations) {
  Vec3 before;
  for (std::size_t i = 1; i < stations.size(); ++i) {
    const Vec3 step{0, stations[i].y - stations[i - 1].y, stations[i].z - stations[i - 1].z};
    if (norm(step) < coincidence)
      items[i].fail("found the y_mm and z_mm of the station before, wanted stations apart in the front view");
    const Vec3 direction = normalized(step);
    if (i > 1 && dot(direction, before) < cos_sharpest_turn)
      items[i].fail("found a turn back at the station before, wanted stations in order along the span");
    before = direction;
  }
}

TwistShape twist_shape(const TomlValue& table) {
  table.allow_keys({"name", "fraction", "value", "curve"});
  TwistShape shape;
  shape.name = table["name"].text(longest_name);
  if (shape.name == linear_twist().name)
    table["name"].refuse("another name, for this shape is built in");
  for (const TomlValue& item : table["fraction"].items(2, most_fractions, "numbers")) {
    shape.fraction.push_back(item.number({0, 1}));
    if (shape.fraction.size() == 1 && shape.fraction.front() != 0)
      item.refuse("0, the root, as the first fraction");
    if (shape.fraction.size() > 1 && shape.fraction.back() < shape.fraction.end()[-2] + least_fraction_step)
      item.refuse("at least " + written(least_fraction_step) + " more than the fraction before");
  }
  if (shape.fraction.back() != 1)
    table["fraction"].fail("found " + written(shape.fraction.back()) + " at the end, wanted 1, the tip");
  const std::size_t count = shape.fraction.size();
  for (const TomlValue& item : table["value"].items(count, count, "numbers, one for each fraction"))
    shape.value.push_back(item.number({-100, 100}));
  shape.curve = optional_curve(table["curve"]);
  return shape;
}

// Reads the tables of one case, in the order in which they need each other.
class CaseReader {
public:
  explicit CaseReader(Case& result) : case_(result) {}

  void read(const TomlValue& root) {
    root.allow_keys({"title", "water", "reference", "operation", "rider", "mass", "deck", "stance", "drive",
                     "drag", "lattice", "section", "surface", "fuselage", "mast", "twist_shape"});
    case_.craft.title = root["title"].text(longest_title);
    read_water(root["water"]);
    read_loading(root);
    read_operation(root["operation"]);
    read_drag(root["drag"]);
    read_lattice(root["lattice"]);
    const auto sections = root["section"].entries();
    if (sections.size() > most_sections)
      sections[most_sections].fail("found " + std::to_string(sections.size()) + " sections, wanted at most " +
                                   std::to_string(most_sections));
    for (const TomlValue& table : sections)
      read_section(table);
    section_is_used_.resize(sections_.size());
    read_surfaces(root["surface"], root["mast"]);
    read_fuselage(root["fuselage"]);
    check_total();
    for (std::size_t i = 0; i < sections_.size(); ++i)
      if (!section_is_used_[i])
        note("section " + in_quotes(sections_[i].name) + ": no station uses it");
    read_reference(root["reference"]);
    read_twist_shapes(root["twist_shape"]);
  }

private:
  void note(const std::string& sentence) { case_.notes.push_back(sentence); }

  void read_water(const TomlValue& table) {
    WaterRead read = water_from(table);
    case_.water = read.choice;
    case_.craft.water = read.water;
    case_.craft.still_surface = read.still_surface;
    case_.boundary_is_written = table["boundary"].present();
    for (const std::string& sentence : read.notes)
      note("water: " + sentence);
  }

  void read_loading(const TomlValue& root) {
    LoadingRead read = loading_from(root, case_.craft.water.density);
    case_.loading = std::move(read.loading);
    for (const std::string& sentence : read.notes)
      note(sentence);
    const auto& depth = case_.craft.still_surface.depth;
    if (case_.loading && depth && case_.loading->deck.height < *depth)
      note("deck: its height, " + written(case_.loading->deck.height * mm_per_m, 6) +
           " mm, lies below the still surface, " + written(*depth * mm_per_m, 6) +
           " mm over the origin; height_mm wants millimetres over the origin");
  }

  void read_operation(const TomlValue& table) {
    table.allow_keys({"speed_m_s", "mass_kg", "lift_coefficient"});
    Operation& operation = case_.operation;
    operation.speed = optional_number(table["speed_m_s"], {0.01, 100});
    operation.mass = optional_number(table["mass_kg"], {0.001, 1e5});
    operation.lift_coefficient = optional_number(table["lift_coefficient"], {-5, 5});
    if (operation.mass && operation.lift_coefficient)
      table["lift_coefficient"].fail("found it beside mass_kg, wanted one of the two");
    if (!case_.loading)
      return;
    if (operation.mass)
      table["mass_kg"].fail(
          "found it beside [rider], wanted one of the two: the masses give what the lift carries");
    if (!operation.lift_coefficient)
      operation.mass = carried_mass(*case_.loading, case_.craft.water.density);
  }

  void read_drag(const TomlValue& table) {
    table.allow_keys({"friction_line", "transition_percent"});
    if (const TomlValue line = table["friction_line"]; line.present())
      case_.drag.line = line.choice({name_of(FrictionLine::ittc1957), name_of(FrictionLine::flat_plate)}) == 0
                            ? FrictionLine::ittc1957
                            : FrictionLine::flat_plate;
    if (const TomlValue transition = table["transition_percent"]; transition.present())
      case_.drag.transition = transition.number({0, 100}) / 100;
  }

  void read_lattice(const TomlValue& table) {
    table.allow_keys(
        {"strips", "panels_per_strip", "spacing", "displaced", "system", "wake", "wake_angle_deg"});
    default_counts_ = panel_counts(table, {});
    if (const TomlValue system = table["system"]; system.present())
      case_.lattice.system =
          system.choice({"dense", "hierarchical"}) == 0 ? SystemKind::dense : SystemKind::hierarchical;
    if (const TomlValue spacing = table["spacing"]; spacing.present())
      case_.lattice.spacing =
          spacing.choice({"semicircle", "uniform"}) == 0 ? Spacing::semicircle : Spacing::uniform;
    case_.lattice.displaced = optional_boolean(table["displaced"]);
    if (const TomlValue wake = table["wake"]; wake.present())
      case_.wake.along =
          wake.choice({"stream", "body"}) == 0 ? WakeChoice::Along::stream : WakeChoice::Along::body;
    if (const TomlValue wake_angle = table["wake_angle_deg"]; wake_angle.present()) {
      if (case_.wake.along == WakeChoice::Along::body)
        wake_angle.fail("found it beside wake = \"body\", wanted it with wake = \"stream\" only");
      case_.wake.angle = angle(wake_angle);
    }
  }

  void read_section(const TomlValue& table) {
    SectionRead read = section_from(table, case_.path.parent_path());
    sections_.push_back(std::move(read.section));
    for (const std::string& sentence : read.notes)
      note("section " + in_quotes(table.name()) + ": " + sentence);
  }

  void read_surfaces(const TomlValue& array, const TomlValue& mast) {
    for (const TomlValue& table : array.items(1, most_surfaces, "tables: write [[surface]]"))
      add_surface(table, surface(table));
    only_surface_ = case_.craft.surfaces.size() == 1;
    if (!mast.present())
      return;
    add_surface(mast, mast_from(mast, [&](const TomlValue& name) { return section(name); }));
    const Surface& read = case_.craft.surfaces.back();
    const double leading = read.position.x + read.stations.front().leading_edge,
                 trailing = leading + read.stations.front().chord;
    if (leading > 0 || trailing < 0)
      note("mast: its foot, x " + written(leading * mm_per_m, 6) + " to " + written(trailing * mm_per_m, 6) +
           " mm, does not stand over the origin, which all figures \"aft of the mast axis\" are measured "
           "from; to move the mast along the fuselage see docs/case.md");
  }

  void add_surface(const TomlValue& table, Surface added) {
    auto& surfaces = case_.craft.surfaces;
    for (std::size_t i = 0; i < surfaces.size(); ++i)
      if (surfaces[i].name == added.name)
        table["name"].refuse("a name of its own, for surface[" + std::to_string(i + 1) + "] has this one");
    surfaces.push_back(std::move(added));
    const PanelCounts counts = panel_counts(table, default_counts_);
    case_.lattice.counts.push_back(counts);
    cuts_.push_back({table, counts.strips * counts.panels_per_strip, "strips or panels_per_strip"});
  }

  void read_fuselage(const TomlValue& table) {
    if (!table.present())
      return;
    FuselageRead read = fuselage_from(table);
    case_.craft.fuselage = std::move(read.fuselage);
    case_.lattice.body = read.counts;
    cuts_.push_back({table, read.counts.rings * read.counts.around, "rings or around"});
  }

  // The whole lattice must fit a matrix that a machine may have.
  void check_total() const {
    long long total = 0;
    for (const Cut& cut : cuts_)
      total += cut.panels;
    const auto finest = std::max_element(cuts_.begin(), cuts_.end(),
                                         [](const Cut& a, const Cut& b) { return a.panels < b.panels; });
    if (total > most_panels)
      finest->table.fail("found " + std::to_string(total) +
                         " panels in all, as many unknowns and a matrix of " +
                         std::to_string(total * total * 8) + " bytes, wanted at most " +
                         std::to_string(most_panels) + ": lower " + finest->keys);
  }

  Surface surface(const TomlValue& table) {
    table.allow_keys({"name", "position_mm", "incidence_deg", "mirror", "curve", "area_cm2", "span_mm",
                      "strips", "panels_per_strip", "stations"});
    Surface result;
    result.name = table["name"].text(longest_name);
    result.position = optional_point(table["position_mm"]);
    result.incidence = optional_angle(table["incidence_deg"]);
    result.curve = optional_curve(table["curve"]);
    const auto items = table["stations"].items(2, most_stations, "tables, one for each station");
    num_stations_ += items.size();
    if (num_stations_ > most_stations_in_all)
      table["stations"].fail("found " + std::to_string(num_stations_) + " stations so far, wanted at most " +
                             std::to_string(most_stations_in_all) + " in all surfaces");
    for (const TomlValue& item : items)
      result.stations.push_back(station(item));
    check_order(items, result.stations);

    const TomlValue mirror = table["mirror"];
    if (optional_boolean(mirror))
      result = at_place_of(table, [&] { return mirrored(result); });
    else if (!mirror.present() && starts_on_centre_plane_and_stays_to_starboard(result))
      note("surface " + in_quotes(result.name) +
           ": starboard half only; write mirror = true for both halves, or mirror = false if this is meant");

    const auto area = optional_number(table["area_cm2"], {0.001, 1e10});
    const auto span = optional_length(table["span_mm"], positive_length);
    if (area || span)
      result = at_place_of(table, [&] {
        const Surface target =
            stretched(result, area ? std::optional(*area / cm2_per_m2) : std::nullopt, span);
        note("surface " + in_quotes(result.name) + ": stretched from " + size(result) + " to " +
             size(target));
        return target;
      });
    return result;
  }

  static bool starts_on_centre_plane_and_stays_to_starboard(const Surface& surface) {
    const auto& stations = surface.stations;
    return surface.position.y + stations.front().y == 0 &&
           std::all_of(stations.begin() + 1, stations.end(),
                       [&](const Station& s) { return surface.position.y + s.y > 0; });
  }

  static std::string size(const Surface& surface) {
    const OutlineFigures figures = outline_figures(surface);
    return written(figures.area * cm2_per_m2, 6) + " cm² and " + written(figures.span * mm_per_m, 6) +
           " mm span";
  }

  Station station(const TomlValue& table) {
    table.allow_keys({"y_mm", "z_mm", "leading_edge_mm", "chord_mm", "twist_deg", "section"});
    Station result;
    result.y = length(table["y_mm"]);
    result.z = optional_length(table["z_mm"]).value_or(0);
    result.leading_edge = length(table["leading_edge_mm"]);
    result.chord = length(table["chord_mm"], positive_length);
    result.twist = optional_angle(table["twist_deg"]);
    result.section = section(table["section"]);
    return result;
  }

  // The section that a value names.
  const Section& section(const TomlValue& name) {
    if (sections_.empty())
      name.refuse("the name of a section, written above as [section.NAME]");
    std::vector<std::string> names;
    for (const Section& known : sections_)
      names.push_back(known.name);
    const std::size_t i = name.choice(names);
    section_is_used_[i] = true;
    return sections_[i];
  }

  void read_reference(const TomlValue& table) {
    table.allow_keys({"surface", "moment_point_mm"});
    std::vector<std::string> names;
    for (const Surface& surface : case_.craft.surfaces)
      names.push_back(surface.name);
    const TomlValue surface = table["surface"];
    case_.craft.reference_surface =
        surface.present() || !only_surface_ ? names[surface.choice(names)] : names.front();
    case_.craft.moment_point = optional_point(table["moment_point_mm"]);
  }

  void read_twist_shapes(const TomlValue& array) {
    if (!array.present())
      return;
    for (const TomlValue& table : array.items(1, most_twist_shapes, "tables: write [[twist_shape]]")) {
      TwistShape shape = twist_shape(table);
      for (std::size_t i = 0; i < case_.twist_shapes.size(); ++i)
        if (case_.twist_shapes[i].name == shape.name)
          table["name"].refuse("a name of its own, for twist_shape[" + std::to_string(i + 1) +
                               "] has this one");
      case_.twist_shapes.push_back(std::move(shape));
    }
  }

  // What a table is cut into, and the keys that say so.
  struct Cut {
    TomlValue table;
    int panels;
    const char* keys;
  };

  Case& case_;
  PanelCounts default_counts_;
  std::vector<Cut> cuts_;
  std::size_t num_stations_ = 0; // written, so the other halves of mirrored surfaces not counted
  bool only_surface_ = false;    // besides a mast
  std::vector<Section> sections_;
  std::vector<bool> section_is_used_;
};

} // namespace

std::string name_of(WaterChoice::Kind kind) {
  return kind == WaterChoice::Kind::sea ? "sea" : "fresh";
}

std::optional<double> given_angle(const WakeChoice& wake) {
  return wake.along == WakeChoice::Along::body ? 0 : wake.angle;
}

Case read_case(const std::filesystem::path& path) {
  return parse_case(read_text(path, "a case file (TOML 1.0)"), path);
}

Case parse_case(std::string text, const std::filesystem::path& path) {
  Case result;
  result.path = path;
  result.text = std::move(text);
  CaseReader(result).read(TomlValue::parse(result.text, path.string()));
  try {
    check(result.craft);
  } catch (const Error& error) {
    throw Error(path.string() + ": " + error.what(), error.kind());
  }
  return result;
}

} // namespace vlm
