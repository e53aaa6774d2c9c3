#include <vlm/file/internal_loads_output.hpp>

#include <algorithm>
#include <cmath>

#include <vlm/file/text_table.hpp>

namespace vlm {
namespace {

constexpr std::size_t longest_part = 26, most_cuts_shown = 6;
constexpr double alike = 1e-6; // halves that differ by less of the greatest load count as one

constexpr std::array<const char*, num_internal_loads> field_names{
    "flatwise_shear_n",     "edgewise_shear_n",     "axial_force_n",
    "flatwise_bending_n_m", "edgewise_bending_n_m", "torsion_n_m"};

Fields load_fields(const std::array<double, num_internal_loads>& loads) {
  Fields fields;
  for (std::size_t i = 0; i < num_internal_loads; ++i)
    fields.push_back({field_names[i], loads[i]});
  return fields;
}

Fields station_fields(const BeamStation& station) {
  Fields fields{{"x_mm", in_mm(station.point.x)},
                {"y_mm", in_mm(station.point.y)},
                {"z_mm", in_mm(station.point.z)},
                {"along_mm", in_mm(station.along)},
                {"chord_mm", in_mm(station.chord)}};
  const Fields loads = load_fields(station.loads);
  fields.insert(fields.end(), loads.begin(), loads.end());
  return fields;
}

// Whether one beam is the other's mirror image with the same loads.
bool same_mirrored(const Beam& a, const Beam& b) {
  if (a.part != b.part || a.to != b.to || a.stations.size() != b.stations.size())
    return false;
  double most = 0;
  for (const BeamStation& s : a.stations)
    for (const double load : s.loads)
      most = std::max(most, std::abs(load));
  for (std::size_t i = 0; i < a.stations.size(); ++i) {
    const BeamStation &p = a.stations[i], &q = b.stations[i];
    if (norm(Vec3{p.point.x - q.point.x, p.point.y + q.point.y, p.point.z - q.point.z}) > 1e-6)
      return false;
    for (std::size_t k = 0; k < num_internal_loads; ++k)
      if (std::abs(p.loads[k] - q.loads[k]) > alike * most)
        return false;
  }
  return true;
}

// A beam of the table, and how it is called there.
struct Shown {
  const Beam* beam;
  std::string name;
};

std::vector<Shown> shown_beams(const std::vector<Beam>& beams) {
  std::vector<Shown> shown;
  for (const Beam& beam : beams) {
    // Starboard stands for both: its places are positive.
    if (!shown.empty() && same_mirrored(*shown.back().beam, beam))
      shown.back() = {&beam, beam.part + ", each half"};
    else
      shown.push_back({&beam, beam.part + ", " + beam.from + " to " + beam.to});
  }
  return shown;
}

// Which loads a beam in the middle plane has none of: those to the side, where nothing pushes it there.
std::array<bool, num_internal_loads> without_side_load(const Beam& beam) {
  std::array<bool, num_internal_loads> none{};
  std::array<double, num_internal_loads> greatest{};
  for (const BeamStation& s : beam.stations) {
    if (std::abs(s.point.y) > 1e-6)
      return none;
    for (std::size_t k = 0; k < num_internal_loads; ++k)
      greatest[k] = std::max(greatest[k], std::abs(s.loads[k]));
  }
  const double most = *std::max_element(greatest.begin(), greatest.end());
  for (std::size_t k = 0; k < num_internal_loads; ++k)
    none[k] = greatest[k] <= alike * most;
  return none;
}

// So many cuts, nearest to even steps along the beam from its free end, the support the last if wanted.
std::vector<std::size_t> chosen_cuts(const Beam& beam, std::size_t most, bool support) {
  std::vector<double> length{0};
  for (std::size_t i = 1; i < beam.stations.size(); ++i)
    length.push_back(length.back() + norm(beam.stations[i].point - beam.stations[i - 1].point));
  const std::size_t shown = std::min(most, most_cuts_shown);
  std::vector<std::size_t> chosen;
  for (std::size_t k = 1; k <= shown; ++k) {
    const double wanted =
        length.back() * static_cast<double>(k) / static_cast<double>(support ? shown : shown + 1);
    std::size_t nearest = 0;
    for (std::size_t i = 1; i < length.size(); ++i)
      if (std::abs(length[i] - wanted) < std::abs(length[nearest] - wanted))
        nearest = i;
    if (nearest > 0 && (support || nearest + 1 < length.size()) &&
        (chosen.empty() || nearest > chosen.back()))
      chosen.push_back(nearest);
  }
  return chosen;
}

// The greatest loads of a beam, and the cut that the greatest bending is at.
struct Greatest {
  std::array<std::size_t, num_internal_loads> station;
  std::size_t place = 0;
  std::array<bool, num_internal_loads> elsewhere{}; // greater there by more than rounding

  explicit Greatest(const Beam& beam) : station(greatest_loads(beam)) {
    const auto size = [&](std::size_t at, std::size_t k) { return std::abs(beam.stations[at].loads[k]); };
    const bool edgewise =
        size(station[edgewise_bending], edgewise_bending) > size(station[flatwise_bending], flatwise_bending);
    place = station[edgewise ? edgewise_bending : flatwise_bending];
    for (std::size_t k = 0; k < num_internal_loads; ++k)
      elsewhere[k] = size(station[k], k) - size(place, k) >= 0.05; // shows in the decimal of the table
  }
};

std::vector<std::string> row_of(const std::string& name, const BeamStation& at,
                                const std::array<std::string, num_internal_loads>& loads) {
  std::vector<std::string> row{name, fixed(in_mm(at.point.x), 0), fixed(in_mm(at.point.y), 0),
                               fixed(in_mm(at.point.z), 0)};
  row.insert(row.end(), loads.begin(), loads.end());
  return row;
}

} // namespace

void write_internal_loads_table(std::ostream& out, const StudyHead& head, const InternalLoadResult& result) {
  std::vector<std::string> lines = head_lines(head);
  const auto say = [](std::vector<std::string>& to, const std::string& text) {
    for (const std::string& line : wrapped(text, table_width, 2))
      to.push_back(line);
  };
  lines.emplace_back();
  say(lines, "Internal loads at a load factor of " +
                 fixed(result.load_factor, decimals_needed({result.load_factor}, 1)) + ": " +
                 fixed(result.speed, decimals_needed({result.speed}, 1)) + " m/s, angle of attack " +
                 fixed(in_degrees(result.condition.alpha), 2) + " deg, sideslip " +
                 fixed(in_degrees(result.condition.beta), 2) + " deg");
  lines.emplace_back();
  std::vector<std::string> foot;
  say(foot,
      "A line with a name holds the greatest of each load in size and the place of the greatest bending; "
      "* of another place. All cuts: --csv or --json.");
  if (std::any_of(result.beams.begin(), result.beams.end(), [](const Beam& beam) {
        const auto none = without_side_load(beam);
        return std::find(none.begin(), none.end(), true) != none.end();
      }))
    say(foot, "– no side load in this condition");
  say(foot, std::string(internal_load_basis));
  say(foot, std::string(internal_load_caution));

  TextTable table;
  table.first_is_text = true;
  table.heads = {"part",
                 "x\nmm",
                 "y\nmm",
                 "z\nmm",
                 "shear\nflatwise\nN",
                 "\nedgewise\nN",
                 "axial\n\nN",
                 "bending\nflatwise\nN·m",
                 "\nedgewise\nN·m",
                 "torsion\n\nN·m"};
  std::vector<Shown> shown = shown_beams(result.beams);
  constexpr std::size_t head_of_table = 3;
  const std::size_t taken = lines.size() + head_of_table + foot.size();
  const std::size_t room = taken + 2 < table_lines ? table_lines - taken : 2;
  if (shown.size() > room) {
    foot.insert(foot.begin(),
                "and " + std::to_string(shown.size() - room + 1) + " more: see --csv or --json");
    shown.resize(room - 1);
  }
  std::size_t left = room - shown.size();
  for (std::size_t i = 0; i < shown.size(); ++i) {
    const Beam& beam = *shown[i].beam;
    const Greatest greatest(beam);
    const std::array<bool, num_internal_loads> none = without_side_load(beam);
    std::array<std::string, num_internal_loads> cells;
    for (std::size_t k = 0; k < num_internal_loads; ++k)
      cells[k] = none[k] ? std::string(undefined_figure)
                         : (greatest.elsewhere[k] ? "*" : "") +
                               fixed(beam.stations[greatest.station[k]].loads[k], 1);
    table.rows.push_back(row_of(cut(shown[i].name, longest_part), beam.stations[greatest.place], cells));
    const bool support =
        greatest.place + 1 < beam.stations.size() ||
        std::find(greatest.elsewhere.begin(), greatest.elsewhere.end(), true) != greatest.elsewhere.end();
    const std::vector<std::size_t> cuts = chosen_cuts(beam, left / (shown.size() - i), support);
    left -= cuts.size();
    for (const std::size_t c : cuts) {
      for (std::size_t k = 0; k < num_internal_loads; ++k)
        cells[k] = none[k] ? std::string(undefined_figure) : fixed(beam.stations[c].loads[k], 1);
      table.rows.push_back(
          row_of(c + 1 == beam.stations.size() ? "  " + beam.to : "", beam.stations[c], cells));
    }
  }
  const std::vector<std::string> body = table.lines();
  lines.insert(lines.end(), body.begin(), body.end());
  lines.insert(lines.end(), foot.begin(), foot.end());
  for (const std::string& line : lines)
    out << line << '\n';
}

void write_internal_loads_json(std::ostream& out, const StudyHead& head, const InternalLoadResult& result) {
  Fields fields = head_fields(head, result.summary, 1);
  fields.push_back({"caution", std::string(internal_load_caution)});
  fields.push_back({"basis", std::string(internal_load_basis)});
  fields.push_back({"load_factor", result.load_factor});
  write_json(out, fields, 1, [&](std::size_t) {
    std::vector<Fields> beams;
    for (const Beam& beam : result.beams) {
      std::vector<Fields> greatest, stations;
      const auto at = greatest_loads(beam);
      for (std::size_t k = 0; k < num_internal_loads; ++k)
        greatest.push_back({{"load", std::string(name_of(static_cast<InternalLoad>(k)))},
                            {field_names[k], beam.stations[at[k]].loads[k]},
                            {"station", static_cast<std::int64_t>(at[k])}});
      for (const BeamStation& station : beam.stations)
        stations.push_back(station_fields(station));
      beams.push_back({{"part", beam.part},
                       {"from", beam.from},
                       {"to", beam.to},
                       {"greatest", greatest},
                       {"stations", stations}});
    }
    return Fields{{"angle_deg", in_degrees(result.condition.alpha)},
                  {"sideslip_deg", in_degrees(result.condition.beta)},
                  {"speed_m_s", result.speed},
                  {"beams", beams}};
  });
}

void write_internal_loads_csv(std::ostream& out, const StudyHead&, const InternalLoadResult& result) {
  const auto fields_of = [&](const Beam& beam, const BeamStation& station) {
    Fields fields{{"part", beam.part}, {"from", beam.from}, {"to", beam.to}};
    const Fields at = station_fields(station);
    fields.insert(fields.end(), at.begin(), at.end());
    fields.push_back({"load_factor", result.load_factor});
    fields.push_back({"speed_m_s", result.speed});
    fields.push_back({"angle_deg", in_degrees(result.condition.alpha)});
    fields.push_back({"caution", std::string(internal_load_caution)});
    return fields;
  };
  out << csv_names(fields_of({}, {}));
  for (const Beam& beam : result.beams)
    for (const BeamStation& station : beam.stations)
      out << csv_values(fields_of(beam, station));
}

} // namespace vlm
