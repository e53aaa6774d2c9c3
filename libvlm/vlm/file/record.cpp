#include <vlm/file/record.hpp>

#include <algorithm>
#include <ctime>
#include <fstream>
#include <functional>
#include <system_error>
#include <type_traits>
#include <utility>
#include <vector>

#include <openssl/evp.h>

#include <vlm/base/error.hpp>
#include <vlm/file/hdf5_file.hpp>
#include <vlm/file/partial_file.hpp>
#include <vlm/file/record_comparison.hpp>
#include <vlm/file/record_handling.hpp>
#include <vlm/file/record_lattice.hpp>
#include <vlm/file/record_placement.hpp>
#include <vlm/file/record_reach.hpp>
#include <vlm/file/record_trim.hpp>
#include <vlm/file/study_head.hpp>
#include <vlm/flow/dense_factors.hpp>
#include <vlm/flow/system.hpp>
#include <vlm/force/drag_breakdown.hpp>
#include <vlm/force/span_loading.hpp>

namespace vlm {
namespace {

// Whether a file begins as one of HDF5 does (HDF5 File Format Specification, II.A. Superblock).
bool is_hdf5(const std::filesystem::path& path) {
  constexpr std::string_view signature = "\x89HDF\r\n\x1a\n";
  std::string start(signature.size(), '\0');
  std::ifstream(path, std::ios::binary).read(start.data(), static_cast<std::streamsize>(start.size()));
  return start == signature;
}

std::string utc_now() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  gmtime_r(&now, &parts);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts);
  return text;
}

// Figures of points on their way into a dataset, with a mark for each that can be undefined.
struct Figures {
  std::vector<double> values;
  std::vector<std::uint8_t> valid;

  void take(double value) { values.push_back(value); }
  void take(std::size_t value) { values.push_back(static_cast<double>(value)); }
  void take(const std::optional<double>& value) {
    values.push_back(value.value_or(0));
    valid.push_back(value.has_value());
  }
  template <class Item>
  void take(const std::vector<Item>& items) {
    for (const Item& item : items)
      take(item);
  }
};

template <class Value>
constexpr bool may_be_undefined =
    std::is_same_v<Value, std::optional<double>> || std::is_same_v<Value, std::vector<std::optional<double>>>;

// The datasets of a group, filled point after point.
template <class Point>
class PointGroup {
public:
  PointGroup(const Hdf5File& file, std::string path)
      : file_(file), path_(std::move(path)), id_(file.add_group(path_)) {}

  hid_t id() const { return id_.get(); }

  // A dataset of one figure, or one row of figures, a point. get: a member of Point or a function of it.
  template <class Get>
  void add(const std::string& name, const Hdf5Meaning& meaning, const std::vector<Hdf5Dataset>& scales,
           Get get, Hdf5Kind kind = Hdf5Kind::real) {
    fill(file_.add(path_ + "/" + name, kind, scales, meaning), get);
    if constexpr (may_be_undefined<std::decay_t<std::invoke_result_t<Get, const Point&>>>)
      columns_.back().valid = file_.add_valid(path_ + "/" + name, scales);
  }

  template <class Get>
  void fill(const Hdf5Dataset& dataset, Get get) {
    columns_.push_back(
        {[get](const Point& point, Figures& to) { to.take(std::invoke(get, point)); }, dataset, {}});
  }

  void write(std::span<const Point> points) {
    if (points.empty())
      return;
    for (const Column& column : columns_) {
      Figures figures;
      for (const Point& point : points)
        column.take(point, figures);
      const std::size_t first = num_points_ * (figures.values.size() / points.size());
      column.values.write(first, figures.values);
      if (column.valid)
        column.valid->write(first, figures.valid);
    }
    num_points_ += points.size();
  }

private:
  struct Column {
    std::function<void(const Point&, Figures&)> take;
    Hdf5Dataset values;
    std::optional<Hdf5Dataset> valid;
  };

  const Hdf5File& file_;
  std::string path_;
  Hdf5Id id_;
  std::vector<Column> columns_;
  std::size_t num_points_ = 0;
};

void set_known(hid_t object, const char* name, const std::optional<double>& value) {
  if (value)
    set_attribute(object, name, *value);
}

void write_root(hid_t root, const Case& input, const Lattice& lattice, std::optional<double> wake_angle,
                std::string_view command) {
  const Craft& craft = input.craft;
  const Reference size = reference(craft);
  set_attribute(root, "record_version", record_version);
  set_attribute(root, "complete", 0);
  set_attribute(root, "title", craft.title);
  set_attribute(root, "command", command);
  set_attribute(root, "date", utc_now());
  set_attribute(root, "library_version", VLM_VERSION);
  set_attribute(root, "linear_algebra", linear_algebra());
  set_attribute(root, "case_file", input.path.string());
  set_attribute(root, "case_text", input.text);
  set_attribute(root, "case_sha256", sha256(input.text));
  set_attribute(root, "water_kind", name_of(input.water.kind));
  set_attribute(root, "water_temperature", input.water.temperature + 273.15);
  if (input.water.kind == WaterChoice::Kind::sea)
    set_attribute(root, "water_salinity", input.water.salinity / 1000);
  set_attribute(root, "water_density", craft.water.density);
  set_attribute(root, "water_kinematic_viscosity", craft.water.kinematic_viscosity);
  set_attribute(root, "water_vapour_pressure", craft.water.vapour_pressure);
  set_attribute(root, "reference_surface", craft.reference_surface);
  set_attribute(root, "reference_area", size.area);
  set_attribute(root, "reference_chord", size.chord);
  set_attribute(root, "reference_span", size.span);
  set_attribute(root, "moment_point",
                std::vector{craft.moment_point.x, craft.moment_point.y, craft.moment_point.z});
  set_attribute(root, "system", system_kind(lattice) == SystemKind::dense ? "dense" : "hierarchical");
  set_attribute(root, "spacing", lattice.spacing == Spacing::uniform ? "uniform" : "semicircle");
  set_attribute(root, "displaced", lattice.displaced ? 1 : 0);
  const StillSurface& still = craft.still_surface;
  set_attribute(root, "boundary",
                still.boundary == Boundary::free   ? "free"
                : still.boundary == Boundary::wall ? "wall"
                                                   : "none");
  set_known(root, "depth", still.depth);
  set_known(root, "clearance", still.clearance);
  set_attribute(root, "bank", still.bank);
  if (const auto froude = froude_of(input)) {
    set_attribute(root, "depth_froude_number", froude->depth);
    set_attribute(root, "chord_froude_number", froude->chord);
    set_attribute(root, "span_froude_number", froude->span);
  }
  set_known(root, "wake_angle", wake_angle);
  set_known(root, "speed", input.operation.speed);
  set_known(root, "mass", input.operation.mass);
  set_known(root, "lift_coefficient", input.operation.lift_coefficient);
}

void write_condition(hid_t group, const Condition& condition) {
  set_attribute(group, "alpha", condition.alpha);
  set_attribute(group, "sideslip", condition.beta);
  set_attribute(group, "roll_rate", condition.rates.x);
  set_attribute(group, "pitch_rate", condition.rates.y);
  set_attribute(group, "yaw_rate", condition.rates.z);
}

// One group of derivatives at a condition. part: the scale of the parts.
void write_derivative_group(const Hdf5File& file, const std::string& path,
                            const std::vector<Derivative>& derivatives, const Condition& condition,
                            const Hdf5Dataset& part) {
  const Hdf5Id group = file.add_group(path);
  write_condition(group.get(), condition);
  std::vector<std::string> names, units, groups;
  std::vector<double> values, parts;
  for (const Derivative& d : derivatives) {
    names.push_back(d.name);
    units.push_back(d.unit);
    groups.push_back(name_of(d.group));
    values.push_back(d.value);
    parts.insert(parts.end(), d.parts.begin(), d.parts.end());
  }
  const std::vector<Hdf5Dataset> name{
      file.add_scale(path + "/name", Hdf5Kind::text, names.size(), {"1", "name of the derivative"})};
  name[0].write(0, names);
  file.add(path + "/group", Hdf5Kind::text, name, {"1", "stiffness, damping or coupling"}).write(0, groups);
  file.add(path + "/unit", Hdf5Kind::text, name, {"1", "unit of the derivative"}).write(0, units);
  file.add(path + "/value", Hdf5Kind::real, name, {"see unit", "derivative of a coefficient of the craft"})
      .write(0, values);
  file.add(path + "/part", Hdf5Kind::real, std::vector{name[0], part},
           {"see unit", "what each part gives of the derivative"})
      .write(0, parts);
}

} // namespace

void check_record_place(const std::filesystem::path& path) {
  const auto refuse = [&](const std::string& found, const std::string& wanted) {
    throw Error(path.string() + ": found " + found + ", wanted " + wanted);
  };
  if (!path.has_filename())
    refuse("no file name", "a name for the record, such as record.h5");
  std::error_code ignored;
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
  if (!std::filesystem::is_directory(folder, ignored))
    refuse("no folder '" + folder.string() + "'", "one that exists: create it first");
  const auto status = std::filesystem::status(path, ignored);
  if (std::filesystem::is_directory(status))
    refuse("a directory", "a file name for the record");
  if (std::filesystem::exists(status) && !std::filesystem::is_regular_file(status))
    refuse("something that is no plain file", "a file name for the record");
  if (std::filesystem::exists(status) && std::filesystem::file_size(path, ignored) > 0 && !is_hdf5(path))
    refuse("a file that is no record and would be lost",
           "another name for the record, such as " + path.stem().string() + "-record.h5");
}

std::string sha256(std::string_view text) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned length = 0;
  if (EVP_Digest(text.data(), text.size(), digest, &length, EVP_sha256(), nullptr) != 1)
    throw Error("the SHA-256 of the case cannot be computed: this system's OpenSSL refuses it",
                ErrorKind::run);
  std::string digits;
  for (unsigned i = 0; i < length; ++i) {
    constexpr std::string_view digit = "0123456789abcdef";
    digits += {digit[digest[i] / 16U], digit[digest[i] % 16U]};
  }
  return digits;
}

struct RecordWriter::State {
  PartialFile partial;
  std::optional<std::string> note;
  std::optional<Hdf5File> open_file; // until all is written
  Lattice lattice;
  std::vector<std::string> surface_names;
  double density = 0;                // [kg/m³]
  std::optional<double> known_speed; // of the operation [m/s]
  Craft craft;
  std::optional<FuselageFigures> body; // for the drag of a polar's points
  DragChoice drag;
  std::optional<RecordLattice> groups;
  std::optional<PointGroup<PolarPoint>> polar;
  std::optional<PointGroup<TwistPoint>> twist;

  State(const std::filesystem::path& path, const Case& input, const Lattice& cut)
      : partial(path), open_file(std::in_place, partial.name(), partial.bytes()), lattice(cut),
        density(input.craft.water.density), known_speed(input.operation.speed), craft(input.craft),
        drag(input.drag), groups(write_lattice(file(), input.craft, cut)) {
    if (partial.replaces())
      note = partial.name() + ": left by a run that did not end, replaced";
    for (const Surface& surface : input.craft.surfaces)
      surface_names.push_back(surface.name);
  }

  const Hdf5File& file() const { return *open_file; }

  // Speed of dimensional figures [m/s].
  double speed() const { return known_speed.value_or(1); }

  DragBreakdown breakdown(const PolarPoint& point) const {
    return drag_breakdown(craft, lattice, body, drag, point, known_speed.value());
  }

  // What the drag of every point is made of: parts and causes, and their sources.
  std::pair<std::vector<std::string>, std::vector<std::string>> drag_items() const {
    PolarPoint still;
    still.strip_circulation.resize(lattice.strips.size());
    still.parts.resize(part_names(craft).size());
    still.condition.rates = {1, 0, 0}; // so that what a turn adds has its place, too
    std::pair<std::vector<std::string>, std::vector<std::string>> items;
    for (const DragItem& item : breakdown(still).items) {
      items.first.push_back(item.part + ": " + item.cause);
      items.second.push_back(item.source);
    }
    return items;
  }

  SpanLoading loading(const PolarPoint& point) const {
    std::vector<double> circulation = point.strip_circulation;
    for (double& gamma : circulation)
      gamma *= speed();
    return span_loading(lattice, circulation, speed(), density);
  }
};

RecordWriter::RecordWriter(const std::filesystem::path& path, const Case& input, const Lattice& lattice,
                           std::optional<double> wake_angle, std::string_view command) {
  const Hdf5Quiet quiet;
  check_record_place(path);
  state_ = std::make_unique<State>(path, input, lattice);
  write_root(state_->file().id(), input, lattice, wake_angle, command);
}

RecordWriter::~RecordWriter() {
  const Hdf5Quiet quiet;
  state_.reset();
}

const std::optional<std::string>& RecordWriter::note() const {
  return state_->note;
}

PolarSink RecordWriter::polar_sink() {
  const Hdf5Quiet quiet;
  State* const s = state_.get();
  PointGroup<PolarPoint>& group = s->polar.emplace(s->file(), "/polar");
  set_attribute(group.id(), "speed", s->speed());
  const Hdf5Dataset alpha = s->file().add_growing_scale("/polar/alpha", Hdf5Kind::real,
                                                        {"rad", "angle of attack, nose-up positive"});
  group.fill(alpha, [](const PolarPoint& p) { return p.condition.alpha; });

  const std::vector<Hdf5Dataset> each{alpha}, parts{alpha, s->groups->part}, strips{alpha, s->groups->strip};
  group.add("wake_angle", {"rad", "angle of attack of the stream along which the wake lies"}, each,
            &PolarPoint::wake_angle);
  group.add("sideslip", {"rad", "sideslip, positive when water comes from starboard"}, each,
            [](const PolarPoint& p) { return p.condition.beta; });
  group.add("roll_rate", {"1", "p b/2V, starboard down positive"}, each,
            [](const PolarPoint& p) { return p.condition.rates.x; });
  group.add("pitch_rate", {"1", "q c/2V, nose up positive"}, each,
            [](const PolarPoint& p) { return p.condition.rates.y; });
  group.add("yaw_rate", {"1", "r b/2V, nose to starboard positive"}, each,
            [](const PolarPoint& p) { return p.condition.rates.z; });
  group.add("lift_coefficient", {"1", "lift coefficient"}, each, &PolarPoint::lift_coefficient);
  group.add("induced_drag_coefficient", {"1", "induced drag coefficient, far field"}, each,
            &PolarPoint::induced_drag_coefficient);
  group.add("near_drag_excess",
            {"1", "near-field less far-field induced drag coefficient, a check of the lattice"}, each,
            &PolarPoint::near_drag_excess);
  group.add("span_efficiency", {"1", "span efficiency"}, each, &PolarPoint::span_efficiency);
  group.add("pitching_moment_coefficient",
            {"1", "pitching moment coefficient about the moment point, nose-up positive"}, each,
            &PolarPoint::pitching_moment_coefficient);
  group.add("centre_of_lift", {"m", "x where the resultant force crosses the x axis"}, each,
            &PolarPoint::centre_of_lift);
  group.add("neutral_point", {"m", "x where the lift of a change of angle acts"}, each,
            &PolarPoint::neutral_point);
  group.add("side_force_coefficient", {"1", "side force coefficient, to starboard positive"}, each,
            &PolarPoint::side_force_coefficient);
  group.add("rolling_moment_coefficient",
            {"1", "rolling moment coefficient about the moment point, starboard down positive"}, each,
            &PolarPoint::rolling_moment_coefficient);
  group.add("yawing_moment_coefficient",
            {"1", "yawing moment coefficient about the moment point, nose to starboard positive"}, each,
            &PolarPoint::yawing_moment_coefficient);
  const auto add_parts = [&](const std::string& name, const std::string& meaning, auto member) {
    group.add("part_" + name, {"1", meaning}, parts, [member](const PolarPoint& p) {
      std::vector<std::decay_t<decltype(std::declval<PartLoads>().*member)>> figures;
      for (const PartLoads& loads : p.parts)
        figures.push_back(loads.*member);
      return figures;
    });
  };
  const std::string of_each = " coefficient of each part over the reference area of the craft";
  add_parts("lift_coefficient", "lift" + of_each, &PartLoads::lift);
  add_parts("induced_drag_coefficient", "induced drag" + of_each + ", far field", &PartLoads::induced_drag);
  add_parts("near_drag_coefficient", "induced drag" + of_each + ", near field", &PartLoads::near_drag);
  add_parts("side_force_coefficient", "side force" + of_each, &PartLoads::side_force);
  add_parts("rolling_moment_coefficient", "rolling moment" + of_each + " and span",
            &PartLoads::rolling_moment);
  add_parts("pitching_moment_coefficient", "pitching moment" + of_each + " and chord",
            &PartLoads::pitching_moment);
  add_parts("yawing_moment_coefficient", "yawing moment" + of_each + " and span", &PartLoads::yawing_moment);
  add_parts("share", "share of each part in the lift", &PartLoads::share);
  group.add("circulation", {"m2/s", "circulation of each strip at the speed of this group"}, strips,
            [s](const PolarPoint& p) { return s->loading(p).circulation; });
  group.add("local_lift_coefficient", {"1", "lift coefficient of each strip over its own chord"}, strips,
            [s](const PolarPoint& p) { return s->loading(p).lift_coefficient; });
  if (s->known_speed) {
    s->body = body_figures(s->craft);
    const auto [item_names, sources] = s->drag_items();
    const std::vector<std::string> names = item_names;
    const std::vector<Hdf5Dataset> item{s->file().add_scale("/polar/drag_item", Hdf5Kind::text, names.size(),
                                                            {"1", "part and cause of drag"})};
    item[0].write(0, names);
    s->file()
        .add("/polar/drag_source", Hdf5Kind::text, item, {"1", "method that the drag is found by"})
        .write(0, sources);
    group.add("drag", {"N", "drag of each part and cause"}, {alpha, item[0]},
              [s, names](const PolarPoint& p) {
                std::vector<double> figures(names.size());
                for (const DragItem& one : s->breakdown(p).items)
                  for (std::size_t i = 0; i < names.size(); ++i)
                    if (names[i] == one.part + ": " + one.cause)
                      figures[i] = one.drag;
                return figures;
              });
    group.add("total_drag", {"N", "sum of the drag of all parts and causes"}, each,
              [s](const PolarPoint& p) { return s->breakdown(p).total; });
    group.add("lift_to_drag", {"1", "lift over total drag"}, each,
              [s](const PolarPoint& p) { return s->breakdown(p).lift_to_drag; });
  }
  if (s->known_speed)
    group.add("lift_per_metre", {"N/m", "lift per metre of span of each strip at the speed of this group"},
              strips, [s](const PolarPoint& p) { return s->loading(p).lift_per_metre; });

  return [s](std::span<const PolarPoint> points) {
    const Hdf5Quiet while_writing;
    s->polar->write(points);
    s->partial.check_written();
  };
}

TwistSink RecordWriter::twist_sink(const TwistStudy& study) {
  const Hdf5Quiet quiet;
  State* const s = state_.get();
  PointGroup<TwistPoint>& group = s->twist.emplace(s->file(), "/twist");
  set_attribute(group.id(), "surface", s->surface_names.at(study.surface));
  set_attribute(group.id(), "shape", study.shape.name);
  set_attribute(group.id(), "lift_coefficient", study.lift_coefficient);
  const Hdf5Dataset incidence =
      s->file().add_scale("/twist/incidence", Hdf5Kind::real, study.incidences.size(),
                          {"rad", "incidence of the surface, nose-up positive"});
  const Hdf5Dataset twist = s->file().add_scale(
      "/twist/twist", Hdf5Kind::real, study.twists.size(),
      {"rad", "amplitude of the shape, added to the twist of the case, nose-up positive"});
  incidence.write(0, study.incidences);
  twist.write(0, study.twists);

  const std::vector<Hdf5Dataset> grid{incidence, twist};
  group.add(
      "valid", {"1", "1 where the study came to this point, else 0"}, grid,
      [](const TwistPoint&) { return std::size_t{1}; }, Hdf5Kind::byte);
  group.add("alpha", {"rad", "angle of attack that carries the lift"}, grid, &TwistPoint::alpha);
  group.add("lift_slope", {"1/rad", "slope of the lift coefficient against angle of attack"}, grid,
            &TwistPoint::lift_slope);
  group.add("zero_lift_moment", {"1", "pitching moment coefficient at the angle of attack of no lift"}, grid,
            &TwistPoint::zero_lift_moment);
  group.add("pitching_moment_coefficient",
            {"1", "pitching moment coefficient about the moment point, nose-up positive"}, grid,
            &TwistPoint::pitching_moment_coefficient);
  group.add(
      "static_margin",
      {"1",
       "distance of the neutral point behind the centre of lift over the reference chord, positive stable"},
      grid, &TwistPoint::static_margin);
  group.add("centre_of_lift", {"m", "x where the resultant force crosses the x axis"}, grid,
            &TwistPoint::centre_of_lift);
  group.add("neutral_point", {"m", "x where the lift of a change of angle acts"}, grid,
            &TwistPoint::neutral_point);
  group.add("surface_lift_coefficient",
            {"1", "lift coefficient of the studied surface over the reference area of the craft"}, grid,
            &TwistPoint::surface_lift_coefficient);
  group.add("induced_drag_coefficient", {"1", "induced drag coefficient, far field"}, grid,
            &TwistPoint::induced_drag_coefficient);
  group.add("near_drag_excess",
            {"1", "near-field less far-field induced drag coefficient, a check of the lattice"}, grid,
            &TwistPoint::near_drag_excess);
  if (study.local_lift) {
    group.add("peak_local_lift",
              {"1", "greatest lift coefficient of a strip over its own chord, either sign"}, grid,
              &TwistPoint::peak_local_lift);
    group.add("peak_strip", {"1", "number of the strip with that lift coefficient"}, grid,
              &TwistPoint::peak_strip, Hdf5Kind::integer);
  }

  return [s](std::span<const TwistPoint> points) {
    const Hdf5Quiet while_writing;
    s->twist->write(points);
    s->partial.check_written();
  };
}

void RecordWriter::write_panels(std::span<const double> panel_circulation, double alpha,
                                std::optional<double> incidence, std::optional<double> twist) {
  const Hdf5Quiet quiet;
  const Hdf5File& file = state_->file();
  const double speed = state_->speed();
  const std::vector<double>& length = state_->groups->panel_length;
  if (panel_circulation.size() != length.size())
    throw Error("circulation of the panels: found " + std::to_string(panel_circulation.size()) +
                " figures, wanted one for each of " + std::to_string(length.size()) + " panels");
  std::vector<double> circulation, pressure_jump;
  for (std::size_t i = 0; i < length.size(); ++i) {
    circulation.push_back(speed * panel_circulation[i]);
    pressure_jump.push_back(state_->density * speed * circulation[i] / length[i]);
  }
  const Hdf5Id group = file.add_group("/VTKHDF/CellData");
  set_attribute(group.get(), "alpha", alpha);
  set_attribute(group.get(), "speed", speed);
  set_known(group.get(), "incidence", incidence);
  set_known(group.get(), "twist", twist);
  const std::vector<Hdf5Dataset> panel{state_->groups->panel};
  file.add("/VTKHDF/CellData/circulation", Hdf5Kind::real, panel, {"m2/s", "circulation of the panel"})
      .write(0, circulation);
  file.add("/VTKHDF/CellData/pressure_jump", Hdf5Kind::real, panel,
           {"Pa", "mean pressure on the far side of the panel less that on its lifting side"})
      .write(0, pressure_jump);
}

void RecordWriter::write_without_image(std::span<const PolarPoint> without,
                                       std::span<const double> wave_drag) {
  const Hdf5Quiet quiet;
  const Hdf5File& file = state_->file();
  const Hdf5Id group = file.add_group("/without_image");
  const std::vector<Hdf5Dataset> alpha{
      file.add_scale("/without_image/alpha", Hdf5Kind::real, without.size(), {"rad", "angle of attack"})};
  const auto add = [&](const char* name, const Hdf5Meaning& meaning, const auto& figure) {
    std::vector<double> values;
    for (const PolarPoint& p : without)
      values.push_back(figure(p));
    file.add(std::string("/without_image/") + name, Hdf5Kind::real, alpha, meaning).write(0, values);
  };
  std::vector<double> alphas;
  for (const PolarPoint& p : without)
    alphas.push_back(p.condition.alpha);
  alpha[0].write(0, alphas);
  add("lift_coefficient", {"1", "lift coefficient"}, [](const PolarPoint& p) { return p.lift_coefficient; });
  add("induced_drag_coefficient", {"1", "induced drag coefficient, far field"},
      [](const PolarPoint& p) { return p.induced_drag_coefficient; });
  add("pitching_moment_coefficient",
      {"1", "pitching moment coefficient about the moment point, nose-up positive"},
      [](const PolarPoint& p) { return p.pitching_moment_coefficient; });
  file.add("/without_image/wave_drag", Hdf5Kind::real, alpha,
           {"N", "drag of all waves strip by strip, which total drag does not have"})
      .write(0, std::vector<double>(wave_drag.begin(), wave_drag.end()));
}

void RecordWriter::write_derivatives(const std::vector<Derivative>& derivatives,
                                     const std::vector<Derivative>& without_image,
                                     const Condition& condition) {
  const Hdf5Quiet quiet;
  const auto write = [&](const std::string& path, const std::vector<Derivative>& all) {
    write_derivative_group(state_->file(), path, all, condition, state_->groups->part);
  };
  write("/derivatives", derivatives);
  if (!without_image.empty())
    write("/derivatives_without_image", without_image);
}

void RecordWriter::write_reach(const ReachStudy& study, std::span<const ReachPoint> points) {
  const Hdf5Quiet quiet;
  vlm::write_reach(state_->file(), *state_->groups, state_->craft, study, points, state_->density,
                   state_->known_speed);
}

void RecordWriter::write_internal_loads(const InternalLoadResult& result) {
  const Hdf5Quiet quiet;
  const Hdf5File& file = state_->file();
  const std::string path = "/internal_loads";
  const Hdf5Id group = file.add_group(path);
  write_condition(group.get(), result.condition);
  set_attribute(group.get(), "speed", result.speed);
  set_attribute(group.get(), "load_factor", result.load_factor);
  set_attribute(group.get(), "caution", internal_load_caution);
  set_attribute(group.get(), "basis", internal_load_basis);
  std::vector<std::string> names;
  std::vector<std::int64_t> number, of_beam;
  std::vector<double> point, along, chord;
  std::array<std::vector<double>, num_internal_loads> loads;
  for (const Beam& beam : result.beams) {
    for (const BeamStation& at : beam.stations) {
      number.push_back(static_cast<std::int64_t>(number.size()));
      of_beam.push_back(static_cast<std::int64_t>(names.size()));
      point.insert(point.end(), {at.point.x, at.point.y, at.point.z});
      along.push_back(at.along);
      chord.push_back(at.chord);
      for (std::size_t k = 0; k < num_internal_loads; ++k)
        loads[k].push_back(at.loads[k]);
    }
    names.push_back(beam.part + ", " + beam.from + " to " + beam.to);
  }
  file.add_scale(path + "/beam", Hdf5Kind::text, names.size(),
                 {"1", "a part from a free end to its support; stations name it by its place here"})
      .write(0, names);
  const std::vector<Hdf5Dataset> station{
      file.add_scale(path + "/station", Hdf5Kind::integer, number.size(),
                     {"1", "number of the cut, beam after beam from the free end to the support"})};
  station[0].write(0, number);
  file.add(path + "/station_beam", Hdf5Kind::integer, station,
           {"1", "place of the station's beam in beam, counted from 0"})
      .write(0, of_beam);
  file.add(path + "/point", Hdf5Kind::real, std::vector{station[0], state_->groups->axis},
           {"m", "point of the cut that moments are about"})
      .write(0, point);
  const auto add = [&](const std::string& name, const Hdf5Meaning& meaning,
                       const std::vector<double>& values) {
    file.add(path + "/" + name, Hdf5Kind::real, station, meaning).write(0, values);
  };
  add("along", {"m", "arc length from the first tip of the surface; of the fuselage x"}, along);
  add("chord", {"m", "chord at the cut; of the fuselage 0"}, chord);
  add("flatwise_shear", {"N", "shear to the lifting side; of the fuselage up"}, loads[flatwise_shear]);
  add("edgewise_shear", {"N", "shear aft; of the fuselage to starboard"}, loads[edgewise_shear]);
  add("axial_force", {"N", "force along the span or the fuselage, tension positive"}, loads[axial_force]);
  add("flatwise_bending", {"N m", "bending of the free end to the lifting side; of the fuselage up"},
      loads[flatwise_bending]);
  add("edgewise_bending", {"N m", "bending of the free end aft; of the fuselage to starboard"},
      loads[edgewise_bending]);
  add("torsion", {"N m", "torsion about the point, nose-up; of the fuselage starboard-down"}, loads[torsion]);
}

void RecordWriter::write_comparison(const ComparisonResult& result) {
  const Hdf5Quiet quiet;
  if (result.comparison.crafts.empty())
    throw Error("comparison for a record: found no craft, wanted one or more");
  vlm::write_comparison(state_->file(), result);
}

void RecordWriter::write_placement(const PlacementResult& result) {
  const Hdf5Quiet quiet;
  if (result.points.empty())
    throw Error("placement for a record: found no finished point, wanted one or more");
  vlm::write_placement(state_->file(), result, state_->surface_names.at(result.study.surface));
}

void RecordWriter::write_trim(const TrimResult& result) {
  const Hdf5Quiet quiet;
  if (result.points.empty())
    throw Error("trim for a record: found no speed, wanted one or more");
  vlm::write_trim(state_->file(), state_->groups->part, state_->groups->strip, result);
}

void RecordWriter::write_handling(std::span<const HandlingPoint> points) {
  const Hdf5Quiet quiet;
  if (points.empty())
    throw Error("handling for a record: found no speed, wanted one or more");
  vlm::write_handling(state_->file(), points);
}

void RecordWriter::close(bool complete) {
  const Hdf5Quiet quiet;
  set_attribute(state_->file().id(), "complete", complete ? 1 : 0);
  State& s = *state_;
  s.file().flush();
  // HDF5 writes the last of a file when nothing of it is open any more.
  s.polar.reset(), s.twist.reset(), s.groups.reset(), s.open_file.reset();
  s.partial.finish();
  state_.reset();
}

} // namespace vlm
