#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>

#include <vlm/file/case.hpp>

#include "finding.hpp"

// Any text as a case: it is read, and then all surfaces have finite figures, or refused.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  read_or_refuse([&] {
    const vlm::Case read = vlm::parse_case(text, VLM_CONTOURS_DIR "/case.toml");
    require(read.text == text, "the text is not kept");
    for (const vlm::Surface& surface : read.craft.surfaces) {
      const vlm::OutlineFigures figures = vlm::outline_figures(surface);
      require(std::isfinite(figures.aspect_ratio) && std::isfinite(figures.mean_chord) &&
                  std::isfinite(figures.developed_area) && figures.area > 0 && figures.span > 0,
              "a surface without a size");
    }
  });
  return 0;
}
