// Figures of compared crafts, as all outputs of a comparison have them.

#pragma once

#include <charconv>
#include <optional>
#include <string>

#include <vlm/file/comparison_output.hpp>
#include <vlm/file/study_head.hpp>

namespace vlm::compared {

using Figure = std::optional<double>;

inline double in_cm2(double square_metres) {
  return square_metres * 1e4;
}

inline Figure in_cm2(const Figure& square_metres) {
  return square_metres ? Figure(in_cm2(*square_metres)) : std::nullopt;
}

inline Figure marked(const ComparedCraft& c, SpeedMark SpeedMarks::*mark, double SpeedFigures::*figure) {
  return c.marks && ((*c.marks).*mark).at ? Figure((*((*c.marks).*mark).at).*figure) : std::nullopt;
}

inline Figure marked_glide(const ComparedCraft& c) {
  const Figure lift = marked(c, &SpeedMarks::best_glide, &SpeedFigures::lift),
               drag = marked(c, &SpeedMarks::best_glide, &SpeedFigures::drag);
  return lift && *drag > 0 ? Figure(*lift / *drag) : std::nullopt;
}

template <class Get>
Figure balanced(const ComparedCraft& c, const Get& get) {
  return c.balanced ? Figure(get(*c.balanced)) : std::nullopt;
}

template <class Get>
Figure at_speed(const TrimPoint& p, const Get& get) {
  return p.solved() ? Figure(get(p)) : std::nullopt;
}

inline double load_station(const TrimPoint& p) {
  return in_mm(p.state.load_station);
}

inline std::string shown(double number) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, number, std::chars_format::general, 6).ptr};
}

inline std::string warning(const std::string& crafts) {
  return "warning: some speeds of " + crafts +
         " are below depth Froude number 3, where the mirror image of the still surface does not hold: "
         "vlm-trim gives figures without it, too";
}

inline const std::string& member_title(const ComparisonResult& r, std::size_t member) {
  return r.new_family[member].craft.title;
}

} // namespace vlm::compared
