// The benchmark table: every figure beside its yardstick, from this run.
//
//   vlm-bench JSON COMMIT [NAME]...
//
// writes the machine's description and the figures to JSON; COMMIT is what the sources are. With names, those
// figures alone.

#include <algorithm>
#include <cstdio>
#include <exception>
#include <fstream>
#include <iostream>
#include <limits>
#include <string>
#include <thread>

#include <unistd.h>

#include <nlohmann/json.hpp>

#include <vlm/flow/flow_kernel.hpp>

#include "dgetrf.hpp"
#include "figure.hpp"

namespace bench {

Measured race(int repetitions, double scale, const std::function<double()>& ours,
              const std::function<double()>& yardstick) {
  Measured least{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(), {}};
  for (int i = 0; i < repetitions; ++i) {
    least.yardstick = std::min(least.yardstick, scale * yardstick());
    least.ours = std::min(least.ours, scale * ours());
  }
  return least;
}

namespace {

std::string first_line(const std::string& path) {
  std::ifstream file(path);
  std::string line;
  std::getline(file, line);
  return line;
}

std::string processor() {
  std::ifstream file("/proc/cpuinfo");
  for (std::string line; std::getline(file, line);)
    if (line.starts_with("model name"))
      return line.substr(line.find(':') + 2);
  return "unknown";
}

// "L1 Data 32K", and so on.
std::vector<std::string> caches() {
  std::vector<std::string> found;
  for (int i = 0;; ++i) {
    const std::string folder = "/sys/devices/system/cpu/cpu0/cache/index" + std::to_string(i) + "/";
    const std::string level = first_line(folder + "level");
    if (level.empty())
      return found;
    found.push_back("L" + level + " " + first_line(folder + "type") + " " + first_line(folder + "size"));
  }
}

nlohmann::ordered_json machine(const std::string& commit) {
  return {{"processor", processor()},
          {"cores", std::thread::hardware_concurrency()},
          {"caches", caches()},
          {"memory_bytes", sysconf(_SC_PHYS_PAGES) * sysconf(_SC_PAGE_SIZE)},
          {"compiler", std::string("g++ ") + __VERSION__},
          {"vector_path", vlm::flow_kernel().name},
          {"blas_of_yardstick", blas_name()},
          {"commit", commit}};
}

std::vector<Figure> all_figures() {
  std::vector<Figure> all;
  for (const auto& family :
       {kernel_figures, dense_figures, big_figures, study_figures, placement_figures, c_interface_figures})
    for (Figure& figure : family())
      all.push_back(std::move(figure));
  return all;
}

// Three or four digits, whatever the size.
std::string short_number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, value >= 1000 ? "%.0f" : "%.3g", value);
  return text;
}

void print_row(const std::string& name, const std::string& what, const std::string& ours,
               const std::string& yardstick, const std::string& unit, const std::string& ratio,
               const std::string& reach, const std::string& reached) {
  std::printf("%-17s %-36s %7s %9s %-6s %6s %5s %s\n", name.c_str(), what.c_str(), ours.c_str(),
              yardstick.c_str(), unit.c_str(), ratio.c_str(), reach.c_str(), reached.c_str());
}

int run(const std::string& json_path, const std::string& commit, const std::vector<std::string>& names) {
  std::vector<Figure> figures = all_figures();
  for (const std::string& name : names)
    if (std::none_of(figures.begin(), figures.end(), [&](const Figure& f) { return f.name == name; })) {
      std::cerr << "vlm-bench: error: found '" << name << "', wanted the name of a figure, one of:";
      for (const Figure& figure : figures)
        std::cerr << ' ' << figure.name;
      std::cerr << '\n';
      return 2;
    }
  if (!names.empty())
    std::erase_if(figures, [&](const Figure& f) { return std::ranges::find(names, f.name) == names.end(); });

  nlohmann::ordered_json json{{"machine", machine(commit)},
                              {"figures", nlohmann::ordered_json::array()},
                              {"not_measured", nlohmann::ordered_json::array()}};
  for (const auto& [key, value] : json["machine"].items())
    std::cout << key << ": " << (value.is_string() ? value.get<std::string>() : value.dump()) << '\n';
  std::cout << "Times are the least of several repetitions, ours and the yardstick in turn.\n\n"
            << std::flush;
  print_row("name", "what / yardstick", "ours", "yardstick", "unit", "ratio", "reach", "reached");
  for (const Figure& figure : figures) {
    Measured m;
    try {
      m = figure.measure();
      if (!(m.ours > 0 && m.yardstick > 0) && m.not_measured.empty())
        m.not_measured = "nothing came out";
    } catch (const std::exception& error) {
      m.not_measured = error.what();
    }
    if (!m.not_measured.empty()) {
      print_row(figure.name, figure.what, "-", "-", figure.unit, "-", short_number(figure.reach), "-");
      std::printf("  not measured: %s\n", m.not_measured.c_str());
      json["not_measured"].push_back(
          {{"name", figure.name}, {"what", figure.what}, {"reason", m.not_measured}});
    } else {
      const double ratio = m.ours / m.yardstick;
      const bool reached = ratio <= figure.reach;
      print_row(figure.name, figure.what, short_number(m.ours), short_number(m.yardstick), figure.unit,
                short_number(ratio), short_number(figure.reach), reached ? "yes" : "no");
      json["figures"].push_back({{"name", figure.name},
                                 {"what", figure.what},
                                 {"ours", m.ours},
                                 {"yardstick", m.yardstick},
                                 {"unit", figure.unit},
                                 {"ratio", ratio},
                                 {"reach", figure.reach},
                                 {"reached", reached}});
    }
    std::fflush(stdout);
  }
  std::ofstream file(json_path);
  file << json.dump(2) << '\n';
  file.close();
  if (!file) {
    std::cerr << "vlm-bench: error: " << json_path << " could not be written\n";
    return 1;
  }
  return 0;
}

} // namespace
} // namespace bench

int main(int argc, char** argv) {
  if (argc < 3) {
    std::cerr << "vlm-bench: error: wanted JSON COMMIT [NAME]...\n";
    return 2;
  }
  return bench::run(argv[1], argv[2], {argv + 3, argv + argc});
}
