#include <vlm/file/fuselage_reader.hpp>

#include <algorithm>

#include <vlm/file/typed_figures.hpp>

namespace vlm {
namespace {

constexpr std::size_t fewest_cuts = 3, most_cuts = 1000;
constexpr int most_rings = 200, fewest_around = 4, most_around = 96;
constexpr double least_cut_step = 1e-6; // [m] between cuts

// Ends of a size that gives none: as long as so many widths of the body. Common practice, no source.
constexpr double nose_widths = 2, tail_widths = 4;

double corner(const TomlValue& value, CutShape shape, double width, double height) {
  if (!value.present())
    return 0;
  if (shape == CutShape::elliptical)
    value.fail("found it on an ellipse, wanted it with shape = \"rounded rectangle\" only");
  const double most = std::min(width, height) / 2;
  const double radius = length(value, {0, any_length.high});
  if (radius > most)
    value.refuse("at most " + written(most * mm_per_m, 6) + ", half of the smaller of width and height");
  return radius;
}

FuselageCut cut_of(const TomlValue& table, CutShape shape, bool end) {
  table.allow_keys({"x_mm", "width_mm", "height_mm", "centre_mm", "corner_mm"});
  FuselageCut result;
  result.x = length(table["x_mm"]);
  const TomlValue width = table["width_mm"], height = table["height_mm"];
  if (end) {
    for (const TomlValue& size : {width, height})
      if (size.present() && length(size) != 0)
        size.refuse("0 at the first and the last cut, where the body closes to a point");
  } else {
    result.width = length(width, positive_length);
    result.height = optional_length(height, positive_length).value_or(result.width);
  }
  result.centre = optional_length(table["centre_mm"]).value_or(0);
  result.corner = corner(table["corner_mm"], shape, result.width, result.height);
  return result;
}

Fuselage from_cuts(const TomlValue& table, CutShape shape) {
  table.allow_keys({"shape", "cuts", "rings", "around"});
  const auto items = table["cuts"].items(fewest_cuts, most_cuts, "tables, one for each cut");
  Fuselage result{shape, {}};
  for (std::size_t i = 0; i < items.size(); ++i) {
    result.cuts.push_back(cut_of(items[i], shape, i == 0 || i + 1 == items.size()));
    if (i > 0 && result.cuts[i].x < result.cuts[i - 1].x + least_cut_step)
      items[i]["x_mm"].refuse("at least " + written(least_cut_step * mm_per_m) +
                              " more than that of the cut before, in order from the nose aft");
  }
  return result;
}

EndShape end_shape(const TomlValue& value, EndShape missing) {
  constexpr EndShape choices[] = {EndShape::ellipse, EndShape::parabola, EndShape::cone};
  return value.present() ? choices[value.choice({"ellipse", "parabola", "cone"})] : missing;
}

Fuselage from_size(const TomlValue& table, CutShape shape) {
  FuselageSize size;
  size.nose = length(table["nose_mm"]);
  size.length = length(table["length_mm"], positive_length);
  size.width = length(table["width_mm"], positive_length);
  size.height = optional_length(table["height_mm"], positive_length).value_or(size.width);
  size.centre = optional_length(table["centre_mm"]).value_or(0);
  size.corner = corner(table["corner_mm"], shape, size.width, size.height);
  size.nose_shape = end_shape(table["nose"], EndShape::ellipse);
  size.tail_shape = end_shape(table["tail"], EndShape::parabola);
  size.nose_length =
      optional_length(table["nose_length_mm"], positive_length).value_or(nose_widths * size.width);
  size.tail_length =
      optional_length(table["tail_length_mm"], positive_length).value_or(tail_widths * size.width);
  const double ends = size.nose_length + size.tail_length;
  if (ends > size.length * (1 + 1e-9))
    table["length_mm"].refuse("at least " + written(ends * mm_per_m, 9) + ", a nose of " +
                              written(size.nose_length * mm_per_m, 6) + " and a tail of " +
                              written(size.tail_length * mm_per_m, 6) +
                              ": make it longer, or write nose_length_mm and tail_length_mm");
  return shaped_fuselage(shape, size);
}

} // namespace

FuselageRead fuselage_from(const TomlValue& table) {
  table.allow_keys({"shape", "cuts", "nose_mm", "length_mm", "width_mm", "height_mm", "centre_mm",
                    "corner_mm", "nose", "nose_length_mm", "tail", "tail_length_mm", "rings", "around"});
  FuselageRead result;
  CutShape shape = CutShape::elliptical;
  if (const TomlValue value = table["shape"]; value.present())
    shape = value.choice({"ellipse", "rounded rectangle"}) == 0 ? CutShape::elliptical
                                                                : CutShape::rounded_rectangle;
  if (const TomlValue rings = table["rings"]; rings.present())
    result.counts.rings = rings.count(4, most_rings);
  if (const TomlValue around = table["around"]; around.present()) {
    result.counts.around = around.count(fewest_around, most_around);
    if (result.counts.around % 4 != 0)
      around.refuse("a multiple of 4");
  }
  result.fuselage = table["cuts"].present() ? from_cuts(table, shape) : from_size(table, shape);
  return result;
}

} // namespace vlm
