#include <vlm/water/properties.hpp>

#include <cmath>
#include <locale>
#include <sstream>

#include <vlm/base/error.hpp>

namespace vlm {
namespace {

constexpr double celsius_zero = 273.15; // [K]

// Comparisons that refuse what is no number, too.
void check_range(const char* what, double found, double low, double high, const char* unit) {
  if (found >= low && found <= high)
    return;
  std::ostringstream text;
  text.imbue(std::locale::classic());
  text << what << " of water: found ";
  if (std::isfinite(found))
    text << found << ' ' << unit;
  else
    text << "no finite number";
  text << ", wanted " << low << " to " << high << ' ' << unit;
  throw Error(text.str());
}

void check_temperature(double temperature) {
  check_range("temperature", temperature, lowest_water_temperature, highest_water_temperature, "°C");
}

void check_salinity(double salinity) {
  check_range("salinity", salinity, 0, highest_salinity, "g/kg");
}

// EOS-80 was fitted before absolute salinity was defined; in standard sea water the two are in this ratio.
double practical(double salinity) {
  return salinity * (35 / standard_salinity);
}

} // namespace

// Kell and EOS-80 are in degrees of 1968, which differ by at most 0.007 °C from today's in this range: 2
// parts in a million of the density. They are taken as they are.

double fresh_water_density(double temperature) {
  check_temperature(temperature);
  const double t = temperature;
  // Coefficients from memory, checked against a published table of ITTC densities, 3 parts in a million, and
  // against TEOS-10 at salinity 0, 4 parts in a million.
  return (999.83952 + t * (16.945176 + t * (-7.9870401e-3 +
                                            t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))))) /
         (1 + 16.879850e-3 * t);
}

double fresh_water_viscosity(double temperature) {
  check_temperature(temperature);
  const double t = (temperature + celsius_zero) / 300;
  // Coefficients from memory, checked against 1.0016 mPa s at 20 °C, which the IAPWS gives.
  return 1e-6 * (280.68 * std::pow(t, -1.9) + 511.45 * std::pow(t, -7.7) + 61.131 * std::pow(t, -19.6) +
                 0.45903 * std::pow(t, -40.0));
}

double fresh_water_vapour_pressure(double temperature) {
  check_temperature(temperature);
  constexpr double critical_temperature = 647.096, critical_pressure = 22.064e6; // [K], [Pa]
  const double t = temperature + celsius_zero, x = 1 - t / critical_temperature, root = std::sqrt(x);
  // Coefficients from memory, checked against 101.42 kPa at 100 °C and 611.657 Pa at the triple point.
  const double sum =
      x * (-7.85951783 + 1.84408259 * root +
           x * x * (-11.7866497 + 22.6807411 * root - 15.9618719 * x + 1.80122502 * x * x * x * x * root));
  return critical_pressure * std::exp(critical_temperature / t * sum);
}

double sea_water_density(double temperature, double salinity) {
  check_temperature(temperature);
  check_salinity(salinity);
  const double t = temperature, s = practical(salinity);
  // Coefficients from memory, checked against UNESCO's value 1027.67547 kg/m³ at salinity 35 and 5 °C, to all
  // its digits, and against TEOS-10, 0.01 kg/m³.
  const double pure =
      999.842594 +
      t * (6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));
  const double a = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
  const double b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6);
  return pure + s * (a + b * std::sqrt(s) + 4.8314e-4 * s);
}

double sea_water_viscosity(double temperature, double salinity) {
  check_temperature(temperature);
  check_salinity(salinity);
  const double t = temperature, s = salinity / 1000;
  // Coefficients from memory, checked against the ITTC's kinematic viscosity at 15 °C (itself from
  // memory), 0.01 %.
  const double a = 1.541 + t * (1.998e-2 - t * 9.52e-5);
  const double b = 7.974 + t * (-7.561e-2 + t * 4.724e-4);
  return fresh_water_viscosity(temperature) * (1 + s * (a + s * b));
}

double sea_water_vapour_pressure(double temperature, double salinity) {
  check_salinity(salinity);
  // Coefficient from memory, checked against the chemical potential of water in TEOS-10, 0.04 %.
  return fresh_water_vapour_pressure(temperature) * (1 - 0.537e-3 * practical(salinity));
}

Water fresh_water(double temperature) {
  const double density = fresh_water_density(temperature);
  return {density, fresh_water_viscosity(temperature) / density, fresh_water_vapour_pressure(temperature)};
}

Water sea_water(double temperature, double salinity) {
  const double density = sea_water_density(temperature, salinity);
  return {density, sea_water_viscosity(temperature, salinity) / density,
          sea_water_vapour_pressure(temperature, salinity)};
}

} // namespace vlm
