#include <vlm/file/loading_reader.hpp>

#include <initializer_list>
#include <utility>

#include <vlm/file/typed_figures.hpp>

namespace vlm {
namespace {

constexpr double cm3_per_m3 = 1e6;

constexpr std::size_t most_masses = 100;

// Bounds as typed, to catch a wrong unit.
constexpr Range any_mass{0, 1e5}, mass_of_a_rider{0.001, 1e5}; // kg
constexpr Range any_inertia{0, 1e6};                           // kg·m²
constexpr Range any_volume{0, 1e9};                            // cm³
constexpr Range centre_over_deck{10, 10'000};                  // mm
constexpr Range any_drive_angle{-89, 89};                      // degrees: it drives forward
constexpr Range any_force{0.01, 1e6};                          // N
constexpr Range any_power{0.01, 1e7};                          // W

Vec3 point_in_the_centre_plane(const TomlValue& value) {
  const Vec3 result = point(value);
  if (result.y != 0)
    value.fail("found y = " + written(result.y * mm_per_m) +
               ", wanted 0, for a craft is trimmed in its plane of symmetry");
  return result;
}

Rider rider(const TomlValue& table, std::vector<std::string>& notes) {
  table.allow_keys({"mass_kg", "centre_height_mm", "pitch_inertia_kg_m2"});
  Rider result;
  result.mass = table["mass_kg"].number(mass_of_a_rider);
  result.centre_height = length(table["centre_height_mm"], centre_over_deck);
  if (const auto inertia = optional_number(table["pitch_inertia_kg_m2"], any_inertia)) {
    result.pitch_inertia = *inertia;
  } else {
    // A uniform rod of the length 2h about its middle: m (2h)²/12 (textbook).
    result.pitch_inertia = result.mass * result.centre_height * result.centre_height / 3;
    notes.push_back("rider: no pitch_inertia_kg_m2 given, " + written(result.pitch_inertia, 4) +
                    " kg·m² assumed, that of a uniform rod twice as tall as centre_height_mm");
  }
  return result;
}

Mass mass(const TomlValue& table) {
  table.allow_keys({"name", "mass_kg", "centre_mm", "displaced_volume_cm3", "pitch_inertia_kg_m2"});
  Mass result;
  result.name = table["name"].text(longest_name);
  result.mass = table["mass_kg"].number(any_mass);
  result.centre = point_in_the_centre_plane(table["centre_mm"]);
  result.displaced_volume =
      optional_number(table["displaced_volume_cm3"], any_volume).value_or(0) / cm3_per_m3;
  result.pitch_inertia = optional_number(table["pitch_inertia_kg_m2"], any_inertia).value_or(0);
  return result;
}

std::vector<Mass> masses(const TomlValue& array) {
  std::vector<Mass> result;
  if (!array.present())
    return result;
  for (const TomlValue& table : array.items(1, most_masses, "tables: write [[mass]]")) {
    Mass next = mass(table);
    for (std::size_t i = 0; i < result.size(); ++i)
      if (result[i].name == next.name)
        table["name"].refuse("a name of its own, for mass[" + std::to_string(i + 1) + "] has this one");
    result.push_back(std::move(next));
  }
  return result;
}

Deck deck(const TomlValue& table) {
  if (!table.present())
    table.refuse("it beside [rider]: write [deck] with its height_mm");
  table.allow_keys({"height_mm", "angle_deg", "mast_rake_deg"});
  return {length(table["height_mm"], positive_length), optional_angle(table["angle_deg"]),
          optional_angle(table["mast_rake_deg"])};
}

Stance stance(const TomlValue& table) {
  table.allow_keys({"front_mm", "back_mm"});
  const Stance result{length(table["front_mm"]), length(table["back_mm"])};
  if (!(result.front < result.back))
    table["front_mm"].refuse("less than back_mm, for stations count aft");
  return result;
}

// Keys of another kind of drive than the one chosen.
void refuse_keys_of(const TomlValue& table, std::initializer_list<const char*> keys,
                    const std::string& owners) {
  for (const char* key : keys)
    if (const TomlValue value = table[key]; value.present())
      value.fail("found it with kind = " + in_quotes(table["kind"].text(longest_name)) +
                 ", wanted it with kind = " + owners + " only");
}

Drive drive(const TomlValue& table) {
  table.allow_keys({"kind", "height_mm", "angle_deg", "station_mm", "position_mm", "greatest_force_n",
                    "greatest_power_w"});
  using Kind = Drive::Kind;
  constexpr Kind kinds[] = {Kind::coasting, Kind::wave, Kind::pull, Kind::motor};
  std::vector<std::string> names;
  for (const Kind kind : kinds)
    names.emplace_back(name_of(kind));
  Drive result;
  result.kind = kinds[table["kind"].choice(names)];
  const bool pull = result.kind == Kind::pull, motor = result.kind == Kind::motor;
  if (!pull)
    refuse_keys_of(table, {"height_mm", "station_mm"}, "\"pull\"");
  if (!motor)
    refuse_keys_of(table, {"position_mm"}, "\"motor\"");
  if (!pull && !motor) {
    refuse_keys_of(table, {"angle_deg", "greatest_force_n", "greatest_power_w"}, "\"pull\" or \"motor\"");
    return result;
  }
  if (pull) {
    result.height = length(table["height_mm"]);
    result.station = optional_length(table["station_mm"]);
  } else {
    result.position = point_in_the_centre_plane(table["position_mm"]);
  }
  result.angle = optional_angle(table["angle_deg"], any_drive_angle);
  result.greatest_force = optional_number(table["greatest_force_n"], any_force);
  result.greatest_power = optional_number(table["greatest_power_w"], any_power);
  if (result.greatest_force && result.greatest_power)
    table["greatest_power_w"].fail("found it beside greatest_force_n, wanted one of the two");
  return result;
}

} // namespace

LoadingRead loading_from(const TomlValue& root, double density) {
  LoadingRead result;
  if (!root["rider"].present()) {
    for (const char* key : {"mass", "deck", "stance", "drive"})
      if (const TomlValue table = root[key]; table.present())
        table.fail("found it without [rider], wanted it beside [rider] only: all of them say what the foil "
                   "carries");
    return result;
  }
  Loading loading;
  loading.rider = rider(root["rider"], result.notes);
  loading.masses = masses(root["mass"]);
  loading.deck = deck(root["deck"]);
  if (root["stance"].present())
    loading.stance = stance(root["stance"]);
  if (root["drive"].present())
    loading.drive = drive(root["drive"]);
  at_place_of(root["rider"], [&] { check(loading, density); });
  result.loading = std::move(loading);
  return result;
}

} // namespace vlm
