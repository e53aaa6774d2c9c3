#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>

#include <vlm/file/contour_file.hpp>
#include <vlm/shape/section.hpp>

#include "finding.hpp"

// Any text as a contour file: it makes a section that passes its check, or is refused.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  vlm::ContourSection made;
  bool is_made = false;
  read_or_refuse([&] {
    const vlm::Contour points = vlm::contour_points(text, "contour.txt");
    made = vlm::contour_section("contour", points.x, points.z);
    is_made = true;
  });
  if (is_made) {
    try {
      vlm::check(made.section);
    } catch (const vlm::Error& error) {
      require(false, std::string("a section made of points that is refused later: ") + error.what());
    }
    require(std::isfinite(made.chord) && made.chord > 0 && std::isfinite(made.angle),
            "a contour without chord or angle");
  }
  return 0;
}
