#include <vlm/file/water_reader.hpp>

#include <cmath>
#include <optional>

#include <vlm/file/typed_figures.hpp>

namespace vlm {
namespace {

constexpr Range any_density{900, 1300};    // kg/m³
constexpr Range any_viscosity{1e-7, 1e-5}; // m²/s
constexpr Range any_pressure{100, 1e5};    // Pa
constexpr Range any_bank{-79, 79};         // degrees

constexpr double sea_temperature = 15;   // [°C] if a case gives none: the ITTC's standard
constexpr double foreign_density = 0.01; // a density given that differs by more is of another water

StillSurface still_surface(const TomlValue& table) {
  StillSurface result;
  const TomlValue boundary = table["boundary"], depth = table["depth_mm"], clearance = table["clearance_mm"],
                  bank = table["bank_deg"];
  result.boundary = depth.present() ? Boundary::free : Boundary::none;
  if (boundary.present()) {
    constexpr Boundary choices[] = {Boundary::free, Boundary::wall, Boundary::none};
    result.boundary = choices[boundary.choice({"free", "wall", "none"})];
  }
  if (depth.present() || result.boundary == Boundary::free)
    result.depth = length(depth, positive_length);
  if (clearance.present() && result.boundary != Boundary::wall)
    clearance.fail("found it without a wall, wanted it beside boundary = \"wall\" only");
  if (result.boundary == Boundary::wall)
    result.clearance = length(clearance, positive_length);
  if (bank.present() && !result.depth && !result.clearance)
    bank.fail("found it in water without bounds, wanted it beside depth_mm or clearance_mm only");
  result.bank = optional_angle(bank, any_bank);
  return result;
}

} // namespace

WaterRead water_from(const TomlValue& table) {
  table.allow_keys({"kind", "temperature_c", "salinity_g_kg", "density_kg_m3", "kinematic_viscosity_m2_s",
                    "vapour_pressure_pa", "boundary", "depth_mm", "clearance_mm", "bank_deg"});
  WaterRead result;
  WaterChoice& chosen = result.choice;
  const auto note = [&](const std::string& sentence) { result.notes.push_back(sentence); };
  const TomlValue kind = table["kind"], temperature = table["temperature_c"],
                  salinity = table["salinity_g_kg"];
  const bool sea = kind.present() && kind.choice({"fresh", "sea"}) == 1;
  if (sea)
    chosen = {WaterChoice::Kind::sea, sea_temperature, standard_salinity};
  else if (salinity.present())
    salinity.fail("found it with fresh water, wanted it beside kind = \"sea\" only");
  if (temperature.present())
    chosen.temperature = temperature.number({lowest_water_temperature, highest_water_temperature});
  if (salinity.present())
    chosen.salinity = salinity.number({0, highest_salinity});
  const Water named = sea ? sea_water(chosen.temperature, chosen.salinity) : fresh_water(chosen.temperature);

  const auto density = optional_number(table["density_kg_m3"], any_density);
  const auto viscosity = optional_number(table["kinematic_viscosity_m2_s"], any_viscosity);
  const auto pressure = optional_number(table["vapour_pressure_pa"], any_pressure);
  result.water = {density.value_or(named.density), viscosity.value_or(named.kinematic_viscosity),
                  pressure.value_or(named.vapour_pressure)};

  const std::string degrees = written(chosen.temperature) + " °C", density_named = written(named.density, 7);
  if (!temperature.present() && !density)
    note("no temperature_c given, " + name_of(chosen.kind) + " water of " + density_named + " kg/m³ (" +
         degrees + ") assumed");
  if (sea && !salinity.present() && !density)
    note("no salinity_g_kg given, " + written(chosen.salinity) + " g/kg assumed");
  if (density && std::abs(*density / named.density - 1) > foreign_density && !(viscosity && pressure))
    note("density_kg_m3 = " + written(*density) + " is not that of " + name_of(chosen.kind) + " water of " +
         degrees + ", " + density_named +
         " kg/m³, of which its viscosity or vapour pressure is taken: check kind and temperature_c");
  result.still_surface = still_surface(table);
  return result;
}

} // namespace vlm
