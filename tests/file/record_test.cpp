#include <atomic>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include <csignal>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <unistd.h>

#include <vlm/base/error.hpp>
#include <vlm/file/record.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/panel_circulation.hpp>

#include "../support/python.hpp"

namespace vlm {
namespace {

constexpr const char* rescue_board = R"(title = "Heron 880, lake rescue foil board"
[water]
density_kg_m3 = 998.2
[reference]
surface = "front wing"
moment_point_mm = [40, 0, 5]
[operation]
speed_m_s = 5.5
mass_kg = 92
[lattice]
strips = 8
panels_per_strip = 3
[section.root]
naca = "2412"
[[surface]]
name = "front wing"
mirror = true
stations = [
  { y_mm = 0, leading_edge_mm = 0, chord_mm = 150, section = "root" },
  { y_mm = 400, z_mm = -30, leading_edge_mm = 45, chord_mm = 60, twist_deg = -2, section = "root" },
]
[[surface]]
name = "stabilizer"
position_mm = [600, 0, 20]
incidence_deg = -1.5
mirror = true
panels_per_strip = 2
stations = [
  { y_mm = 0, leading_edge_mm = 0, chord_mm = 70, section = "root" },
  { y_mm = 190, leading_edge_mm = 15, chord_mm = 45, section = "root" },
]
)";

// Begins as files of HDF5 do.
const std::string older_record = "\x89HDF\r\n\x1a\nan older record";

// Figures that a reader of the record must find, for read_record_h5py.py.
class Expected {
public:
  Expected& operator()(const std::string& name, const std::vector<double>& values) {
    text_.precision(17);
    text_ << name;
    for (const double value : values)
      text_ << ' ' << value;
    text_ << '\n';
    return *this;
  }
  Expected& missing(const std::string& name) {
    text_ << '-' << name << '\n';
    return *this;
  }
  std::string text() const { return text_.str(); }

private:
  std::ostringstream text_;
};

std::string read(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

class Record : public testing::Test {
protected:
  Record() {
    folder = std::filesystem::path(testing::TempDir()) /
             ("vlm-record-" + std::to_string(getpid()) + "-" +
              testing::UnitTest::GetInstance()->current_test_info()->name());
    std::filesystem::create_directories(folder);
    path = folder / "heron.h5";
    partial = folder / "heron.h5.partial";
  }
  ~Record() override { std::filesystem::remove_all(folder); }

  void expect_readable(const Expected& expected) const { python::expect_readable(path, expected.text()); }
  void expect_viewable() const {
    EXPECT_EQ(python::run({VLM_TESTS_DIR "/file/read_record_vtk.py", path}), 0);
  }

  // Checks that an error says what it must.
  template <class Action>
  static void expect_error(ErrorKind kind, const std::string& words, const Action& action) {
    try {
      action();
      ADD_FAILURE() << "no error about " << words;
    } catch (const Error& error) {
      EXPECT_EQ(error.kind(), kind) << error.what();
      EXPECT_NE(std::string(error.what()).find(words), std::string::npos) << error.what();
    }
  }

  void start_at(const std::filesystem::path& place) const {
    RecordWriter(place, input, lattice, 0.05, "vlm-polar heron.toml");
  }

  PolarPoint polar_point_at(double alpha) const {
    PolarPoint p;
    p.condition.alpha = alpha;
    p.lift_coefficient = 5 * alpha;
    p.parts.resize(2);
    p.parts[0].lift = 4 * alpha;
    p.parts[1].lift = alpha;
    p.parts[0].share = 0.8;
    for (std::size_t j = 0; j < lattice.strips.size(); ++j)
      p.strip_circulation.push_back(alpha * static_cast<double>(j + 1));
    return p;
  }

  const Case input = parse_case(rescue_board, "heron.toml");
  const Lattice lattice = make_lattice(input.craft, input.lattice);
  std::filesystem::path folder, path, partial;
};

TEST_F(Record, OfASolvedPolarIsReadByStrangers) {
  ThreadPool pool(1);
  const std::vector<double> alphas{-0.02, 0.01, 0.04};
  const Responses responses = make_responses(input.craft, input.lattice, 0.03, {}, pool);
  std::vector<double> lift, drag, gamma;
  RecordWriter writer(path, input, lattice, 0.03, "vlm-polar heron.toml --from=-1.1");
  const PolarSink write = writer.polar_sink();
  const PolarSink sink = [&](std::span<const PolarPoint> points) {
    for (const PolarPoint& p : points) {
      lift.push_back(p.lift_coefficient);
      drag.push_back(p.induced_drag_coefficient);
      for (const double strip : p.strip_circulation)
        gamma.push_back(5.5 * strip);
    }
    write(points);
  };
  polar(input.craft, input.lattice, at_angles(alphas), 0.03, sink, {}, pool);
  std::vector<double> panels;
  for (std::size_t i = 0; i < lattice.num_panels(); ++i)
    panels.push_back(responses.circulation(i, 0) * std::cos(0.04) +
                     responses.circulation(i, 1) * std::sin(0.04));
  writer.write_panels(panels, 0.04);
  writer.close(true);

  EXPECT_FALSE(std::filesystem::exists(partial));
  std::vector<double> circulation;
  for (const double unit : panels)
    circulation.push_back(5.5 * unit);
  const Reference size = reference(input.craft);
  expect_readable(Expected()("/@complete", {1})("/@wake_angle", {0.03})("/@speed", {5.5})("/@mass", {92})(
      "/@water_density", {998.2})("/@water_temperature", {293.15})("/@water_kinematic_viscosity",
                                                                   {fresh_water(20).kinematic_viscosity})(
      "/@water_vapour_pressure", {fresh_water(20).vapour_pressure})("/@moment_point", {0.04, 0, 0.005})(
      "/@reference_area", {size.area})("/@reference_chord", {size.chord})("/@reference_span", {size.span})(
      "/@displaced", {0})("/polar/alpha", alphas)("/polar/lift_coefficient", lift)(
      "/polar/induced_drag_coefficient", drag)("/polar/circulation", gamma)(
      "/polar/wake_angle", {0.03, 0.03, 0.03})("/polar/span_efficiency_valid",
                                               {1, 1, 1})("/VTKHDF/CellData/circulation", circulation));
  expect_viewable();
}

// The whole craft of the lake rescue service: fuselage, mast, depth, drag and derivatives.
TEST_F(Record, OfTheWholeCraftIsReadByStrangers) {
  Case heron = read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  heron.lattice.counts = {{8, 4}, {6, 4}, {4, 4}};
  heron.lattice.body = {12, 8};
  ThreadPool pool(1);
  const Lattice cut = make_lattice(heron.craft, heron.lattice, 0.05);
  RecordWriter writer(path, heron, cut, 0.05, "vlm-polar heron-880.toml");
  const PolarSink write = writer.polar_sink();
  std::vector<double> total, share;
  const PolarSink sink = [&](std::span<const PolarPoint> points) {
    for (const PolarPoint& p : points) {
      total.push_back(drag_breakdown(heron.craft, cut, body_figures(heron.craft), heron.drag, p, 5.5).total);
      for (const PartLoads& part : p.parts)
        share.push_back(part.share.value());
    }
    write(points);
  };
  const std::vector<Condition> conditions{{0.05, 0.02, {0.01, 0, -0.02}}, {0.07, 0.02, {0.01, 0, -0.02}}};
  polar(heron.craft, heron.lattice, conditions, 0.05, sink, {}, pool);
  const Responses responses = make_responses(heron.craft, heron.lattice, 0.05, {}, pool, Motions::all);
  std::vector<double> values;
  const std::vector<Derivative> all = derivatives(responses, conditions[0]);
  for (const Derivative& d : all)
    values.push_back(d.value);
  writer.write_derivatives(all, {}, conditions[0]);
  const std::vector<PolarPoint> bare{polar_point(responses, conditions[0]),
                                     polar_point(responses, conditions[1])};
  writer.write_without_image(bare, std::vector<double>{3, 4});
  writer.write_panels(panel_circulation(responses, conditions[0], {}), 0.05);
  writer.close(true);
  expect_readable(
      Expected()("/@depth", {0.3})("/@bank", {0})("/@depth_froude_number", {5.5 / std::sqrt(9.80665 * 0.3)})(
          "/polar/sideslip", {0.02, 0.02})("/polar/yaw_rate", {-0.02, -0.02})("/polar/total_drag", total)(
          "/polar/part_share", share)("/polar/near_drag_excess_valid",
                                      {0, 0})("/derivatives/value", values)("/derivatives/@alpha", {0.05})
          .missing("/derivatives_without_image"));
}

TEST_F(Record, KeepsEveryPointOfALongPolarInOrder) {
  RecordWriter writer(path, input, lattice, std::nullopt, "vlm-polar heron.toml");
  const PolarSink sink = writer.polar_sink();
  std::vector<double> alphas, shares, valid, circulation;
  std::vector<PolarPoint> points;
  for (int i = 0; i < 150; ++i) {
    points.push_back(polar_point_at(0.001 * i));
    alphas.push_back(points.back().condition.alpha);
    shares.insert(shares.end(), {0.8, 0});
    valid.insert(valid.end(), {1, 0});
    for (const double gamma : points.back().strip_circulation)
      circulation.push_back(5.5 * gamma);
  }
  for (const PolarPoint& point : std::span(points).first(70))
    sink({&point, 1});
  sink(std::span(points).subspan(70));
  writer.close(true);
  expect_readable(
      Expected()("/polar/alpha", alphas)("/polar/part_share", shares)("/polar/part_share_valid", valid)(
          "/polar/circulation", circulation)("/polar/span_efficiency", std::vector<double>(150, 0))(
          "/polar/span_efficiency_valid", std::vector<double>(150, 0)));
}

TEST_F(Record, OfACancelledPolarHoldsWhatWasDone) {
  ThreadPool pool(1);
  RecordWriter writer(path, input, lattice, 0.03, "vlm-polar heron.toml");
  std::atomic<bool> cancel = false;
  RunControl control;
  control.cancel = &cancel;
  control.progress = [&](std::size_t done, std::size_t) { cancel = done == 2; };
  const std::vector<double> alphas{0, 0.01, 0.02, 0.03};
  const StudySummary summary =
      polar(input.craft, input.lattice, at_angles(alphas), 0.03, writer.polar_sink(), control, pool);
  writer.close(summary.complete);
  expect_readable(Expected()("/@complete", {0})("/polar/alpha", {0, 0.01}));
  expect_viewable(); // without figures on the panels
}

TEST_F(Record, OfAPolarAtNoGivenSpeedLeavesTheLiftPerMetreOut) {
  Case unknown_speed = input;
  unknown_speed.operation = {};
  RecordWriter writer(path, unknown_speed, lattice, 0.03, "vlm-polar heron.toml");
  const PolarPoint point = polar_point_at(0.02);
  writer.polar_sink()({&point, 1});
  writer.close(true);
  expect_readable(Expected().missing("/polar/lift_per_metre")("/polar/circulation", point.strip_circulation));
}

TEST_F(Record, HoldsDerivativesUnderTheirNames) {
  RecordWriter writer(path, input, lattice, 0.03, "vlm-polar heron.toml --derivatives");
  const std::vector<Derivative> derivatives{
      {DerivativeGroup::stiffness, "lift due to angle of attack", "per rad", 5, {4, 1}},
      {DerivativeGroup::coupling, "lift due to depth", "per m", 0.25, {0.5, -0.25}}};
  const std::vector<Derivative> without_image{
      {DerivativeGroup::stiffness, "lift due to angle of attack", "per rad", 6, {4.5, 1.5}}};
  writer.write_derivatives(derivatives, without_image, {0.05, -0.02, {0.01, 0.02, 0.03}});
  writer.close(true);
  expect_readable(Expected()("/derivatives@alpha", {0.05})("/derivatives@sideslip", {-0.02})(
      "/derivatives@roll_rate", {0.01})("/derivatives@pitch_rate", {0.02})("/derivatives@yaw_rate", {0.03})(
      "/derivatives/value", {5, 0.25})("/derivatives/part", {4, 1, 0.5, -0.25})(
      "/derivatives_without_image@alpha", {0.05})("/derivatives_without_image/value",
                                                  {6})("/derivatives_without_image/part", {4.5, 1.5}));
  python::expect_true(
      path, "(d := record['derivatives']) and list(d['name'].asstr()) == ['lift due to angle of "
            "attack', 'lift due to depth'] and list(d['group'].asstr()) == ['stiffness', 'coupling'] "
            "and list(d['unit'].asstr()) == ['per rad', 'per m']");
}

TEST_F(Record, OfACancelledTwistStudyMarksThePointsDone) {
  TwistStudy study;
  study.surface = 1;
  study.shape = linear_twist();
  study.lift_coefficient = 0.3;
  study.incidences = {-0.03, -0.02, -0.01, 0};
  study.twists = {-0.02, 0, 0.02};
  RecordWriter writer(path, input, lattice, 0.03, "vlm-twist heron.toml");
  const TwistSink sink = writer.twist_sink(study);
  std::vector<TwistPoint> points;
  for (int i = 0; i < 10; ++i) {
    TwistPoint p;
    p.alpha = 0.01 * (i + 1);
    p.peak_strip = static_cast<std::size_t>(i);
    if (i % 2 == 1)
      p.centre_of_lift = 0.1 * i;
    points.push_back(p);
  }
  // Chunks that begin and end within rows.
  sink(std::span(points).first(2));
  sink(std::span(points).subspan(2, 8));
  writer.close(false);
  std::vector<double> alpha(12), peak(12), centre(12), centre_valid(12), valid(12);
  for (std::size_t i = 0; i < 10; ++i) {
    alpha[i] = points[i].alpha.value();
    peak[i] = static_cast<double>(i);
    centre[i] = points[i].centre_of_lift.value_or(0);
    centre_valid[i] = static_cast<double>(i % 2);
    valid[i] = 1;
  }
  expect_readable(Expected()("/@complete", {0})("/twist/incidence", study.incidences)(
      "/twist/twist", study.twists)("/twist/alpha", alpha)("/twist/peak_strip", peak)(
      "/twist/centre_of_lift", centre)("/twist/centre_of_lift_valid", centre_valid)("/twist/valid", valid));
}

TEST_F(Record, OfASolvedTwistStudyIsReadByStrangers) {
  ThreadPool pool(1);
  TwistStudy study;
  study.surface = 1;
  study.shape = linear_twist();
  study.lift_coefficient = 0.3;
  study.twists = {-0.01, 0, 0.01};
  for (int i = 0; i < 400; ++i) // more than a chunk
    study.incidences.push_back(-0.05 + 0.0001 * i);
  study.local_lift = false;
  const Responses responses = twist_responses(input.craft, input.lattice, study, 0.03, pool);
  RecordWriter writer(path, input, lattice, 0.03, "vlm-twist heron.toml");
  std::vector<double> drag, margin;
  const TwistSink write = writer.twist_sink(study);
  const TwistSink sink = [&](std::span<const TwistPoint> points) {
    for (const TwistPoint& p : points) {
      drag.push_back(p.induced_drag_coefficient.value());
      margin.push_back(p.static_margin.value());
    }
    write(points);
  };
  const StudySummary summary = run_twist_study(input.craft, responses, study, sink, {}, pool);
  writer.close(summary.complete);
  ASSERT_EQ(drag.size(), 1200U);
  expect_readable(
      Expected()("/@complete", {1})("/twist/induced_drag_coefficient", drag)("/twist/static_margin", margin)(
          "/twist/static_margin_valid", std::vector<double>(1200, 1))
          .missing("/twist/peak_local_lift")
          .missing("/twist/peak_strip"));
}

TEST_F(Record, OfAPlacementStudyIsReadByStrangers) {
  ThreadPool pool(1);
  const Ride ride{input.craft, input.lattice, input.wake, input.drag, {}, {}};
  PlacementResult result;
  PlacementStudy& study = result.study;
  study.surface = 1;
  study.aft = {-0.6, 0.05}; // the first runs into the wing
  study.up = {-0.02, 0.01};
  study.area = {1.2};
  study.incidences = {-0.01};
  study.speed = 5.5;
  study.wake_angle = 0.03;
  study.lift = 900;
  result.limits.least_margin = 0.1;
  result.summary = run_placement_study(
      ride, study, [&](const PlacementPoint& p) { result.points.push_back(p); }, {}, pool);
  result.without_image = result.points;
  for (PlacementPoint& p : result.without_image)
    p.state.drag += 1;
  ASSERT_FALSE(result.points[0].solved());
  const PlacementPoint &third = result.points[2], &fourth = result.points[3];
  ASSERT_TRUE(third.solved() && fourth.solved());
  RecordWriter writer(path, input, lattice, 0.03, "vlm-twist heron.toml");
  writer.write_placement(result);
  writer.close(true);
  const bool second = result.points[1].solved();
  const auto of = [&](const auto& figure) {
    return std::vector<double>{0, second ? figure(result.points[1]) : 0, figure(third), figure(fourth)};
  };
  expect_readable(Expected()("/@complete", {1})("/placement/@speed", {5.5})("/placement/@lift", {900})(
      "/placement/moved_aft", {-0.6, -0.6, 0.05, 0.05})("/placement/moved_up", {-0.02, 0.01, -0.02, 0.01})(
      "/placement/area_ratio", {1.2, 1.2, 1.2, 1.2})("/placement/incidence", {-0.01, -0.01, -0.01, -0.01})(
      "/placement/drag", of([](const PlacementPoint& p) { return p.state.drag; }))(
      "/placement/drag_valid", {0, second ? 1.0 : 0.0, 1, 1})(
      "/placement/static_margin", of([](const PlacementPoint& p) { return *p.handling.static_margin; }))(
      "/placement/surface_lift", of([](const PlacementPoint& p) { return p.parts[1].lift; }))(
      "/placement/load_station_valid", {0, 0, 0, 0})("/placement/meets_fuselage", {0, 0, 0, 0})(
      "/placement/without_image_alpha", of([](const PlacementPoint& p) { return p.state.alpha; })));
  expect_error(ErrorKind::input, "found no finished point", [&] {
    RecordWriter(folder / "none.h5", input, lattice, 0.03, "vlm-twist").write_placement({});
  });
}

// A tip comes out of the water at the second bank; the study is stopped before the third depth.
TEST_F(Record, OfAReachToTheSurfaceIsReadByStrangers) {
  Case riding = input;
  riding.craft.still_surface = {Boundary::free, 0.3, {}, 0};
  const ReachStudy study{{0.05, 0, {}}, {0.2, 0.3, 0.4}, {0.1, 1.2}};
  std::vector<ReachPoint> points;
  std::atomic<bool> cancel = false;
  RunControl control;
  control.cancel = &cancel;
  control.progress = [&](std::size_t done, std::size_t) { cancel = done == 4; };
  ThreadPool pool(1);
  RecordWriter writer(path, riding, make_lattice(riding.craft, riding.lattice, 0.05), 0.05,
                      "vlm-trim heron.toml");
  const auto sink = [&](const ReachPoint& p) { points.push_back(p); };
  const StudySummary summary = run_reach_study(riding.craft, riding.lattice, study, sink, control, pool);
  writer.write_reach(study, points);
  writer.close(summary.complete);
  ASSERT_EQ(points.size(), 4U);
  std::vector<double> tip_depth, lift, lift_valid, per_metre;
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t k = 0; k < 4; ++k)
      tip_depth.push_back(points[i].reach.tips[k].highest.depth);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < lattice.strips.size(); ++j) {
      const bool solved = i % 2 == 0;
      lift.push_back(solved ? points[i].strips[j].lift_coefficient() : 0);
      lift_valid.push_back(solved);
      per_metre.push_back(solved ? 998.2 * 5.5 * 5.5 * points[i].strips[j].circulation : 0);
    }
  const double breach = points[0].reach.tips[0].breach.starboard_down.value();
  expect_readable(Expected()("/@complete", {0})("/reach/depth", {0.2, 0.2, 0.3, 0.3})(
      "/reach/bank", {0.1, 1.2, 0.1, 1.2})("/reach@alpha", {0.05})("/reach/tip_depth", tip_depth)(
      "/reach/local_lift_coefficient", lift)("/reach/local_lift_coefficient_valid", lift_valid)(
      "/reach/lift_per_metre", per_metre)("/reach/ventilation",
                                          {static_cast<double>(worst(points[0].warnings)), 3,
                                           static_cast<double>(worst(points[2].warnings)), 3}));
  python::expect_true(path, "list(record['reach/tip'].asstr())[0] == 'front wing: first station' and "
                            "abs(record['reach/tip_breach_bank_starboard_down'][0, 0] - " +
                                std::to_string(breach) + ") < 1e-6");
}

TEST_F(Record, OfAReachWithoutAPointIsRefused) {
  RecordWriter writer(path, input, lattice, 0.05, "vlm-trim heron.toml");
  expect_error(ErrorKind::input, "no finished point", [&] { writer.write_reach({{}, {0.3}, {0}}, {}); });
}

TEST_F(Record, OfATwistStudyTellsWhichSettingItsPanelsShow) {
  RecordWriter writer(path, input, lattice, 0.03, "vlm-twist heron.toml");
  const std::vector<double> too_few(lattice.num_panels() - 1, 0.01);
  expect_error(ErrorKind::input, "found " + std::to_string(too_few.size()) + " figures",
               [&] { writer.write_panels(too_few, 0.02); });
  writer.write_panels(std::vector<double>(lattice.num_panels(), 0.01), 0.02, -0.01, 0.005);
  writer.close(true);
  expect_readable(Expected()("/VTKHDF/CellData@alpha", {0.02})("/VTKHDF/CellData@speed", {5.5})(
      "/VTKHDF/CellData@incidence", {-0.01})("/VTKHDF/CellData@twist", {0.005}));
}

TEST_F(Record, TellsTheSaltOfTheSea) {
  Case sea = input;
  sea.water = {WaterChoice::Kind::sea, 10, 32};
  sea.craft.water = sea_water(10, 32);
  RecordWriter(path, sea, lattice, 0.03, "vlm-polar heron.toml").close(true);
  expect_readable(Expected()("/@water_salinity", {0.032})("/@water_temperature", {283.15})(
      "/@water_density", {sea.craft.water.density}));
}

TEST_F(Record, OfADisplacedUniformLatticeIsViewable) {
  Case other = input;
  other.lattice.displaced = true;
  other.lattice.spacing = Spacing::uniform;
  const Lattice cut = make_lattice(other.craft, other.lattice);
  RecordWriter writer(path, other, cut, std::nullopt, "vlm-polar heron.toml");
  writer.write_panels(std::vector<double>(cut.num_panels(), 0.01), 0);
  writer.close(true);
  expect_readable(Expected()("/@displaced", {1}));
  expect_viewable();
}

TEST_F(Record, HoldsACaseOfAnyLength) {
  std::string text = rescue_board;
  while (text.size() < 900'000)
    text += "# The twist of the tip follows the mould of May, not the drawing: Spitze −2° (gemessen).\n";
  const Case big = parse_case(text, "heron.toml");
  RecordWriter(path, big, lattice, 0.03, "vlm-polar heron.toml").close(true);
  expect_readable(Expected()("/@complete", {1}));
}

TEST_F(Record, DoesNotHarmAnOlderOneUntilClosed) {
  std::ofstream(path) << older_record;
  {
    RecordWriter writer(path, input, lattice, 0.03, "vlm-polar heron.toml");
    EXPECT_FALSE(writer.note());
    const PolarPoint point = polar_point_at(0.02);
    writer.polar_sink()({&point, 1});
  }
  EXPECT_EQ(read(path), older_record);
  EXPECT_FALSE(std::filesystem::exists(partial));

  std::ofstream(partial) << older_record; // as a run that was killed leaves it
  RecordWriter writer(path, input, lattice, 0.03, "vlm-polar heron.toml");
  ASSERT_TRUE(writer.note());
  EXPECT_NE(writer.note()->find("heron.h5.partial: left by"), std::string::npos) << *writer.note();
  EXPECT_EQ(read(path), older_record);
  writer.close(true);
  EXPECT_FALSE(std::filesystem::exists(partial));
  expect_readable(Expected()("/@complete", {1}).missing("/polar"));
}

TEST_F(Record, IsRefusedWhereNoneCanBe) {
  expect_error(ErrorKind::input, "create it first", [&] { start_at(folder / "none" / "heron.h5"); });
  expect_error(ErrorKind::input, "none'", [&] { start_at(folder / "none" / "heron.h5"); });
  expect_error(ErrorKind::input, "found a directory", [&] { start_at(folder); });
  expect_error(ErrorKind::input, "no file name", [&] { start_at(""); });
  expect_error(ErrorKind::input, "no plain file", [&] { start_at("/dev/null"); });
  expect_error(ErrorKind::run, "File name too long", [&] { start_at(folder / std::string(250, 'h')); });
  EXPECT_TRUE(std::filesystem::is_empty(folder));
}

// A case, points of a contour, a start of HDF5 that is cut short: whatever it is, it is not lost.
TEST_F(Record, ReplacesNothingButRecords) {
  const std::filesystem::path file = folder / "heron.toml";
  for (const std::string& kept :
       {std::string(rescue_board), std::string("1 0\n"), older_record.substr(0, 7)}) {
    std::ofstream(file) << kept;
    expect_error(ErrorKind::input,
                 "heron.toml: found a file that is no record and would be lost, wanted another name for the "
                 "record, such as heron-record.h5",
                 [&] { start_at(folder / "." / "heron.toml"); });
    EXPECT_EQ(read(file), kept);
  }
  std::ofstream(path).close(); // empty, as a name that a script has taken is
  RecordWriter(path, input, lattice, 0.05, "vlm-polar heron.toml").close(true);
  expect_readable(Expected()("/@complete", {1}));
}

TEST_F(Record, IsWrittenByOneRunAtATime) {
  RecordWriter writer(path, input, lattice, 0.05, "vlm-polar heron.toml");
  expect_error(ErrorKind::input, "another run", [&] { start_at(path); });
  writer.close(true);
  expect_readable(Expected()("/@complete", {1}));
}

TEST_F(Record, RefusesFiguresThatAreNotFinite) {
  RecordWriter writer(path, input, lattice, 0.05, "vlm-polar heron.toml");
  const PolarSink sink = writer.polar_sink();
  PolarPoint point = polar_point_at(0.02);
  point.lift_coefficient = std::numeric_limits<double>::quiet_NaN();
  expect_error(ErrorKind::run, "/polar/lift_coefficient: found a number that is not finite", [&] {
    sink({&point, 1});
  });
}

// A limit on the size of files stands for a full disk while it lives.
class FullDisk {
public:
  explicit FullDisk(rlim_t bytes) {
    getrlimit(RLIMIT_FSIZE, &before_);
    const rlimit limit{bytes, before_.rlim_max};
    setrlimit(RLIMIT_FSIZE, &limit);
  }
  ~FullDisk() {
    setrlimit(RLIMIT_FSIZE, &before_);
    std::signal(SIGXFSZ, handler_);
  }
  FullDisk(const FullDisk&) = delete;
  FullDisk& operator=(const FullDisk&) = delete;

private:
  void (*handler_)(int) = std::signal(SIGXFSZ, SIG_IGN);
  rlimit before_{};
};

TEST_F(Record, OnAFullDiskIsAnErrorAndSparesTheOlderOne) {
  std::ofstream(path) << older_record;
  testing::internal::CaptureStderr();
  for (const rlim_t bytes : {0UL, 4096UL, 20'000UL, 60'000UL}) {
    const FullDisk disk(bytes);
    expect_error(ErrorKind::run, "File too large", [&] {
      RecordWriter writer(path, input, lattice, 0.05, "vlm-polar heron.toml");
      const PolarSink sink = writer.polar_sink();
      const std::vector<PolarPoint> points(1000, polar_point_at(0.02));
      sink(points);
      writer.close(true);
    });
    EXPECT_FALSE(std::filesystem::exists(partial));
  }
  EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
  EXPECT_EQ(read(path), older_record);
  // With room again the same run goes through.
  RecordWriter writer(path, input, lattice, 0.05, "vlm-polar heron.toml");
  EXPECT_FALSE(writer.note());
  writer.close(true);
  expect_readable(Expected()("/@complete", {1}));
}

TEST(Sha256, OfKnownTexts) {
  // FIPS 180-4 examples of the one-block message and of none.
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

} // namespace
} // namespace vlm
