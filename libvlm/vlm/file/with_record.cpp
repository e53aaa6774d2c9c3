#include <vlm/file/with_record.hpp>

#include <algorithm>

#include <vlm/base/error.hpp>
#include <vlm/file/record.hpp>
#include <vlm/force/panel_circulation.hpp>
#include <vlm/study/bracket.hpp>

namespace vlm {
namespace {

void write_marked_panels(RecordWriter& record, const Case& input, const Responses& responses,
                         const TwistResult& result) {
  const TwistMarks marks = twist_marks(result, responses.reference);
  const auto marked = marks.within_limits ? marks.within_limits : marks.least_drag;
  if (!marked)
    return;
  const TwistPoint point = result.points[*marked];
  const double turns[2] = {point.incidence - input.craft.surfaces[result.study.surface].incidence,
                           point.twist};
  record.write_panels(panel_circulation(responses, {*point.alpha, 0, {}}, turns), *point.alpha,
                      point.incidence, point.twist);
}

} // namespace

std::unique_ptr<RecordWriter> start_record(Case& input, const Lattice& lattice,
                                           std::optional<double> wake_angle, const RecordChoice& choice) {
  if (!choice.path)
    return nullptr;
  auto record = std::make_unique<RecordWriter>(*choice.path, input, lattice, wake_angle, choice.command);
  if (record->note())
    input.notes.push_back(*record->note());
  return record;
}

double middle_angle(const std::vector<Condition>& conditions) {
  if (conditions.empty())
    throw Error("polar: found no condition, wanted one or more");
  return (conditions.front().alpha + conditions.back().alpha) / 2;
}

PolarResult polar_with_record(Case& input, const Lattice& lattice, const PolarChoice& choice,
                              const RecordChoice& record_choice, const RunControl& control,
                              ThreadPool& pool) {
  const double middle = middle_angle(choice.conditions), laid = choice.wake_angle.value_or(middle);
  PolarResult result;
  result.conditions = choice.conditions;
  const auto record = start_record(input, lattice, choice.wake_angle, record_choice);
  result.summary = polar(
      input.craft, input.lattice, result.conditions, choice.wake_angle,
      [&, to_record = record ? record->polar_sink() : nullptr](auto finished) {
        result.points.insert(result.points.end(), finished.begin(), finished.end());
        if (to_record)
          to_record(finished);
      },
      control, pool);
  if (result.summary.complete) {
    result.without_image = polar_without_image(input.craft, input.lattice, result.conditions,
                                               choice.wake_angle, input.operation.speed, control, pool);
    result.summary.complete = !control.cancelled();
    if (record && !result.without_image.empty())
      record->write_without_image(result.without_image, wave_drags(input, lattice, result.points));
  }
  if (result.summary.complete && (record || choice.derivatives)) {
    Condition condition = result.conditions.front();
    condition.alpha = middle;
    const Responses responses = make_responses(input.craft, input.lattice, laid, {}, pool, Motions::all);
    if (choice.derivatives) {
      result.derivatives = derivatives(responses, condition);
      const auto of_depth = depth_derivatives(input.craft, input.lattice, laid, condition, pool);
      result.derivatives.insert(result.derivatives.end(), of_depth.begin(), of_depth.end());
      result.derivatives_without_image =
          derivatives_without_image(input.craft, input.lattice, condition, laid, input.operation.speed, pool);
    }
    if (record) {
      record->write_panels(panel_circulation(responses, condition, {}), middle);
      if (choice.derivatives)
        record->write_derivatives(result.derivatives, result.derivatives_without_image, condition);
    }
  }
  if (record)
    record->close(result.summary.complete);
  return result;
}

TwistResult twist_study_with_record(Case& input, const Responses& responses, const TwistStudy& study,
                                    const TwistLimits& limits, const RecordChoice& record_choice,
                                    const RunControl& control, ThreadPool& pool) {
  TwistResult result;
  result.study = study;
  result.limits = limits;
  const auto record = start_record(input, responses.system.lattice(), responses.wake_angle, record_choice);
  result.points = TwistPoints(input.craft, responses, study);
  const TwistSink sink = record ? record->twist_sink(study) : [](std::span<const TwistPoint>) {};
  result.summary = run_twist_study(input.craft, responses, study, sink, control, pool);
  result.points.keep_first(result.summary.num_points);
  if (result.summary.complete)
    result.without_image = twist_study_without_image(input.craft, input.lattice, study, responses.wake_angle,
                                                     input.operation.speed, control, pool);
  result.summary.complete = result.summary.complete && !control.cancelled();
  if (record) {
    write_marked_panels(*record, input, responses, result);
    record->close(result.summary.complete);
  }
  return result;
}

PlacementResult placement_study_with_record(Case& input, const Lattice& lattice, const Ride& ride,
                                            const PlacementStudy& study, const PlacementLimits& limits,
                                            const RecordChoice& record_choice, const RunControl& control,
                                            ThreadPool& pool) {
  PlacementResult result;
  result.study = study;
  result.limits = limits;
  const auto record = start_record(input, lattice, study.wake_angle, record_choice);
  result.summary = run_placement_study(
      ride, study, [&](const PlacementPoint& p) { result.points.push_back(p); }, control, pool);
  if (result.summary.complete && std::none_of(result.points.begin(), result.points.end(),
                                              [](const PlacementPoint& p) { return p.solved(); }))
    throw Error("no place of the surface can be: " + result.points.front().refusal);
  if (result.summary.complete)
    result.without_image = placement_study_without_image(ride, study, control, pool);
  result.summary.complete = result.summary.complete && !control.cancelled();
  if (record) {
    if (!result.points.empty())
      record->write_placement(result);
    record->close(result.summary.complete);
  }
  return result;
}

TrimResult trim_with_marks(const Ride& ride, std::span<const double> speeds, const RunControl& control,
                           ThreadPool& pool) {
  TrimResult result;
  result.num_wanted = speeds.size();
  result.summary = trim_at_speeds(
      ride, speeds, [&](const TrimPoint& point) { result.points.push_back(point); }, control, pool);
  if (const auto known = solved_figures(result.points); result.summary.complete && !known.empty())
    result.marks = speed_marks(ride, known, control, pool);
  result.summary.complete = result.summary.complete && !control.cancelled();
  return result;
}

} // namespace vlm
