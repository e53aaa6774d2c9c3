#include <algorithm>
#include <atomic>

#include <vlm/file/with_record.hpp>

#include "border.hpp"
#include "handles.hpp"

namespace {

using namespace vlm;
using namespace vlm::c;

// What a study's caller wants of its run.
class Run {
public:
  explicit Run(const vlm_run* given) : given_(given != nullptr ? *given : vlm_run{}) {
    control.cancel = &cancel_;
    if (given_.progress != nullptr)
      control.progress = [this](std::size_t done, std::size_t total) {
        if (given_.progress(done, total, given_.user) != 0)
          cancel_ = true;
      };
  }

  RecordChoice record() const {
    RecordChoice choice;
    if (given_.record != nullptr)
      choice.path = given_.record;
    choice.command = given_.command != nullptr ? given_.command : "through the C interface";
    return choice;
  }
  int num_threads() const { return given_.num_threads; }

  RunControl control;

private:
  vlm_run given_;
  std::atomic<bool> cancel_{false};
};

vlm_status status_of(const StudySummary& summary) {
  return summary.complete ? VLM_OK : VLM_CANCELLED;
}

std::vector<double> numbers_of(const double* numbers, std::size_t count, const char* name) {
  if (count == 0)
    throw Refusal{VLM_ERROR_LENGTH, std::string(name) + ": found none, wanted one or more"};
  std::vector<double> result;
  for (const double number : array(numbers, count, name))
    result.push_back(finite(number, name));
  return result;
}

TwistShape shape_of(const Case& c, const char* name) {
  if (name == nullptr || name == linear_twist().name)
    return linear_twist();
  std::string known = linear_twist().name;
  for (const TwistShape& shape : c.twist_shapes) {
    if (shape.name == name)
      return shape;
    known += ", " + shape.name;
  }
  throw Error("shape: found \"" + std::string(name) + "\", wanted one of " + known);
}

vlm_twist_point point_of(const TwistPoint& p) {
  return {p.incidence,
          p.twist,
          figure_of(p.alpha),
          figure_of(p.lift_slope),
          figure_of(p.zero_lift_moment),
          figure_of(p.pitching_moment_coefficient),
          figure_of(p.static_margin),
          figure_of(p.centre_of_lift),
          figure_of(p.neutral_point),
          figure_of(p.surface_lift_coefficient),
          figure_of(p.induced_drag_coefficient),
          figure_of(p.near_drag_excess),
          figure_of(p.peak_local_lift),
          p.peak_strip};
}

vlm_place place_of(const std::optional<std::size_t>& index) {
  return {index.value_or(0), index ? 1 : 0};
}

vlm_trim_point point_of(const TrimPoint& p) {
  if (!p.solved()) {
    vlm_trim_point refused{};
    refused.speed = p.speed;
    return refused;
  }
  const TrimState& s = p.state;
  return {p.speed,
          1,
          sound(s.alpha),
          sound(s.load_station),
          sound(s.lift),
          sound(s.drag),
          sound(s.drive_force),
          sound(s.wave_slope),
          sound(s.deceleration),
          sound(p.figures.power),
          sound(p.wake_angle),
          figure_of(p.lift_to_drag),
          figure_of(p.front_foot_share),
          figure_of(p.figures.share_of_limit)};
}

const SpeedMark& mark_at(const TrimResult& result, std::size_t mark) {
  static const SpeedMark none{{}, "the study was cancelled, or no speed came to a balance"};
  return result.marks ? *result.marks.*named_speed_marks[mark].mark : none;
}

} // namespace

vlm_status vlm_run_polar(const vlm_case* handle, const vlm_condition* conditions, size_t count,
                         const double* wake_angle, const vlm_run* run, vlm_polar** result) {
  return guarded(__func__, [&] {
    vlm_polar*& slot = result_of(result);
    Case input = at(handle, "handle").value;
    PolarChoice choice;
    for (const vlm_condition& condition : array(conditions, count, "conditions"))
      choice.conditions.push_back(condition_of(condition));
    choice.wake_angle = optional_of(wake_angle, "wake_angle");
    const double laid = choice.wake_angle.value_or(middle_angle(choice.conditions));
    Run wanted(run);
    ThreadPool pool(wanted.num_threads());
    auto polar = std::make_unique<vlm_polar>();
    polar->lattice = make_lattice(input.craft, input.lattice, laid);
    polar->density = input.craft.water.density;
    polar->result = polar_with_record(input, polar->lattice, choice, wanted.record(), wanted.control, pool);
    slot = polar.release();
    return status_of(slot->result.summary);
  });
}

vlm_status vlm_polar_free(vlm_polar** handle) {
  return free_handle(__func__, handle);
}

vlm_status vlm_polar_num_points(const vlm_polar* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").result.points.size(); });
}

vlm_status vlm_polar_forces(const vlm_polar* handle, vlm_forces* points, size_t count) {
  return guarded(__func__, [&] {
    const std::vector<PolarPoint>& found = at(handle, "handle").result.points;
    fill(array_of(found.size(), points, count, "points"), [&](std::size_t i) { return forces_of(found[i]); });
  });
}

vlm_status vlm_polar_num_without_image(const vlm_polar* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").result.without_image.size(); });
}

vlm_status vlm_polar_forces_without_image(const vlm_polar* handle, vlm_forces* points, size_t count) {
  return guarded(__func__, [&] {
    const std::vector<PolarPoint>& found = at(handle, "handle").result.without_image;
    fill(array_of(found.size(), points, count, "points"), [&](std::size_t i) { return forces_of(found[i]); });
  });
}

vlm_status vlm_polar_part_forces(const vlm_polar* handle, size_t point, vlm_part_forces* parts,
                                 size_t count) {
  return guarded(__func__, [&] {
    const std::vector<PolarPoint>& found = at(handle, "handle").result.points;
    fill_parts(found[index_of(point, found.size(), "point")], parts, count);
  });
}

vlm_status vlm_polar_span_loading(const vlm_polar* handle, size_t point, double speed,
                                  vlm_strip_loading* strips, size_t count) {
  return guarded(__func__, [&] {
    const std::vector<PolarPoint>& found = at(handle, "handle").result.points;
    fill_loading(handle->lattice, found[index_of(point, found.size(), "point")].strip_circulation,
                 speed_of(speed), handle->density, strips, count);
  });
}

vlm_status vlm_run_twist_study(const vlm_case* handle, const vlm_twist_study* study, const vlm_run* run,
                               vlm_twist** result) {
  return guarded(__func__, [&] {
    vlm_twist*& slot = result_of(result);
    Case input = at(handle, "handle").value;
    const vlm_twist_study& given = at(study, "study");
    TwistStudy wanted;
    wanted.surface = index_of(given.surface, input.craft.surfaces.size(), "study.surface");
    if (input.craft.surfaces[wanted.surface].pierces)
      throw Refusal{VLM_ERROR_ARGUMENT,
                    "study.surface: found the mast, whose incidence turns nothing, wanted "
                    "a surface that lifts"};
    wanted.shape = shape_of(input, given.shape);
    wanted.incidences = numbers_of(given.incidences, given.num_incidences, "study.incidences");
    wanted.twists = numbers_of(given.twists, given.num_twists, "study.twists");
    wanted.lift_coefficient = lift_coefficient(input.operation, input.craft);
    const TwistLimits limits{optional_of(given.centre_from, "study.centre_from"),
                             optional_of(given.centre_to, "study.centre_to"),
                             optional_of(given.least_static_margin, "study.least_static_margin")};
    Run how(run);
    ThreadPool pool(how.num_threads());
    const double wake_angle =
        operating_wake(input.craft, input.lattice, input.wake, wanted.lift_coefficient, pool).angle;
    const Responses responses = twist_responses(input.craft, input.lattice, wanted, wake_angle, pool);
    auto twist = std::make_unique<vlm_twist>();
    twist->result =
        twist_study_with_record(input, responses, wanted, limits, how.record(), how.control, pool);
    twist->marks = twist_marks(twist->result, responses.reference);
    slot = twist.release();
    return status_of(slot->result.summary);
  });
}

vlm_status vlm_twist_free(vlm_twist** handle) {
  return free_handle(__func__, handle);
}

vlm_status vlm_twist_num_points(const vlm_twist* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").result.points.size(); });
}

vlm_status vlm_twist_points(const vlm_twist* handle, vlm_twist_point* points, size_t count) {
  return guarded(__func__, [&] {
    const TwistPoints& found = at(handle, "handle").result.points;
    const std::span<vlm_twist_point> filled = array_of(found.size(), points, count, "points");
    const auto all = [&](const auto& take) {
      found.visit([&](std::size_t first, std::span<const TwistPoint> chunk) {
        for (std::size_t i = 0; i < chunk.size(); ++i)
          take(first + i, point_of(chunk[i]));
      });
    };
    all([](std::size_t, const vlm_twist_point&) {}); // changes nothing if one of them is refused
    all([&](std::size_t i, const vlm_twist_point& p) { filled[i] = p; });
  });
}

vlm_status vlm_twist_find_marks(const vlm_twist* handle, vlm_twist_marks* marks) {
  return guarded(__func__, [&] {
    const TwistMarks& found = at(handle, "handle").marks;
    at(marks, "marks") = {place_of(found.least_drag), place_of(found.within_limits)};
  });
}

vlm_status vlm_run_trim(const vlm_case* handle, const double* speeds, size_t count, const vlm_run* run,
                        vlm_trim** result) {
  return guarded(__func__, [&] {
    vlm_trim*& slot = result_of(result);
    Case input = at(handle, "handle").value;
    const std::vector<double> at_speeds = numbers_of(speeds, count, "speeds");
    for (const double speed : at_speeds)
      speed_of(speed);
    if (!input.loading)
      throw Error("handle: found no rider, wanted one: [rider] and [deck] in a case file, or "
                  "vlm_case_set_loading");
    input.operation.speed.reset(); // each point has its own
    Run how(run);
    ThreadPool pool(how.num_threads());
    const Ride ride = make_ride(input.craft, input.lattice, input.wake, input.drag, *input.loading);
    auto trim = std::make_unique<vlm_trim>();
    const auto record =
        start_record(input, make_lattice(input.craft, input.lattice), given_angle(input.wake), how.record());
    trim->result = trim_with_marks(ride, at_speeds, how.control, pool);
    if (record && !trim->result.points.empty()) {
      record->write_trim(trim->result);
      record->close(trim->result.summary.complete);
    }
    slot = trim.release();
    return status_of(slot->result.summary);
  });
}

vlm_status vlm_trim_free(vlm_trim** handle) {
  return free_handle(__func__, handle);
}

vlm_status vlm_trim_num_points(const vlm_trim* handle, size_t* count) {
  return guarded(__func__, [&] { at(count, "count") = at(handle, "handle").result.points.size(); });
}

vlm_status vlm_trim_points(const vlm_trim* handle, vlm_trim_point* points, size_t count) {
  return guarded(__func__, [&] {
    const std::vector<TrimPoint>& found = at(handle, "handle").result.points;
    fill(array_of(found.size(), points, count, "points"), [&](std::size_t i) { return point_of(found[i]); });
  });
}

vlm_status vlm_trim_refusal(const vlm_trim* handle, size_t point, const char** text) {
  return guarded(__func__, [&] {
    const std::vector<TrimPoint>& found = at(handle, "handle").result.points;
    at(text, "text") = found[index_of(point, found.size(), "point")].refusal.c_str();
  });
}

vlm_status vlm_trim_marks(const vlm_trim* handle, vlm_speed_mark* marks, size_t count) {
  return guarded(__func__, [&] {
    const TrimResult& found = at(handle, "handle").result;
    fill(array_of(VLM_NUM_MARKS, marks, count, "marks"), [&](std::size_t i) {
      const auto& s = mark_at(found, i).at;
      return !s ? vlm_speed_mark{} : vlm_speed_mark{1,
                                                    sound(s->speed),
                                                    sound(s->alpha),
                                                    sound(s->load_station),
                                                    sound(s->lift),
                                                    sound(s->drag),
                                                    sound(s->power)};
    });
  });
}

vlm_status vlm_trim_mark_refusal(const vlm_trim* handle, size_t mark, const char** text) {
  return guarded(__func__, [&] {
    const TrimResult& found = at(handle, "handle").result;
    const SpeedMark& asked = mark_at(found, index_of(mark, VLM_NUM_MARKS, "mark"));
    at(text, "text") = asked.at ? "" : asked.refusal.c_str();
  });
}
