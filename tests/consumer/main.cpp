// A program of a stranger: shapes the front wing of a lake rescue service's foil board, has the library sweep
// its angle of attack into a record, and sees what becomes of an empty case. Ends with 1 if something is not
// as it must be.
#include <cmath>
#include <filesystem>
#include <iostream>
#include <span>
#include <string>
#include <vector>

#include <vlm/base/error.hpp>
#include <vlm/file/record.hpp>
#include <vlm/study/polar.hpp>

namespace {

vlm::Case rescue_board() {
  const vlm::Section section = vlm::naca_section("2412");
  vlm::Surface half;
  half.name = "front wing";
  half.position = {-0.3, 0, 0};
  half.stations = {{.chord = 0.2, .section = section},
                   {.y = 0.45, .leading_edge = 0.05, .chord = 0.08, .section = section}};
  vlm::Case board;
  board.path = "board.toml";
  board.craft.title = "rescue board";
  board.craft.surfaces = {vlm::mirrored(half)};
  board.craft.reference_surface = half.name;
  board.lattice.counts = {{.strips = 20, .panels_per_strip = 4}};
  return board;
}

bool area_is_right(const vlm::Craft& craft) {
  const double area = vlm::reference(craft).area;
  std::cout << "area " << area << " m2\n";
  return std::abs(area - 0.9 * (0.2 + 0.08) / 2) < 1e-12;
}

bool polar_is_right(const vlm::Case& board) {
  const std::filesystem::path path = "board.h5";
  vlm::RecordWriter record(path, board, vlm::make_lattice(board.craft, board.lattice), 0, "consumer");
  const vlm::PolarSink to_record = record.polar_sink();
  std::vector<vlm::PolarPoint> points; // made in the library, copied and freed here
  const auto sink = [&](std::span<const vlm::PolarPoint> chunk) {
    to_record(chunk);
    points.insert(points.end(), chunk.begin(), chunk.end());
  };
  vlm::ThreadPool pool;
  const std::vector<double> alphas = {0, 0.1};
  vlm::polar(board.craft, board.lattice, vlm::at_angles(alphas), 0, sink, {}, pool);
  record.close(true);
  if (points.size() != alphas.size() || !std::filesystem::exists(path))
    return false;

  const double slope = (points[1].lift_coefficient - points[0].lift_coefficient) / 0.1;
  std::cout << "lift slope " << slope << " per rad\n";
  // Lifting-line theory gives 2π/(1 + 2/AR) = 4.79 for the elliptic wing of this aspect ratio, 6.43, which no
  // wing of the same span exceeds; taper, sweep and chord cost a little.
  return slope > 4.3 && slope < 4.79;
}

bool error_is_caught() {
  try {
    vlm::parse_case("", "empty.toml");
  } catch (const vlm::Error& error) {
    std::cout << error.what() << '\n';
    return std::string(error.what()).starts_with("empty.toml:");
  }
  return false;
}

} // namespace

int main() {
  const vlm::Case board = rescue_board();
  const bool area = area_is_right(board.craft), polar = polar_is_right(board), error = error_is_caught();
  return area && polar && error ? 0 : 1;
}
