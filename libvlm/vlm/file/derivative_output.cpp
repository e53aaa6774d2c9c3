#include <vlm/file/derivative_output.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include <vlm/file/text_table.hpp>

namespace vlm {
namespace {

constexpr std::size_t least_columns = 7, most_columns = 10; // of a part's name over its share

// Percent of the derivative; unset where that vanishes.
std::optional<double> share(const Derivative& d, std::size_t part, const std::vector<Derivative>& among) {
  if (vanishes(d, among))
    return std::nullopt;
  return 100 * d.parts[part] / d.value;
}

// The name in as narrow a column as its words and figures allow.
std::string part_head(const std::string& part) {
  std::size_t columns = least_columns, word = 0;
  for (const char c : part) {
    word = c == ' ' ? 0 : word + 1;
    columns = std::min(std::max(columns, word), most_columns);
  }
  std::string head;
  for (const std::string& line : wrapped(part, columns, 0))
    head += line + '\n';
  return head + "%";
}

// The derivative of that name; null if there is none.
const Derivative* find(const std::vector<Derivative>& derivatives, const std::string& name) {
  const auto found = std::find_if(derivatives.begin(), derivatives.end(),
                                  [&](const Derivative& d) { return d.name == name; });
  return found == derivatives.end() ? nullptr : &*found;
}

// A row each, with the shares of as many parts as fit.
TextTable table_of(const std::vector<Derivative>& shown, const std::vector<Derivative>& among,
                   const std::vector<Derivative>& without_image, const std::vector<std::string>& parts) {
  const auto figure = [](const Derivative* d) {
    return d ? fixed(d->value, std::abs(d->value) < 10 ? 5 : 3) : std::string(undefined_figure);
  };
  TextTable table;
  table.first_is_text = true;
  table.heads = {"derivative", "value", "unit"};
  for (const Derivative& d : shown)
    table.rows.push_back({"  " + d.name, figure(&d), d.unit});
  if (!without_image.empty()) {
    table.heads.insert(table.heads.begin() + 2, "value\nno image");
    for (std::size_t i = 0; i < shown.size(); ++i)
      table.rows[i].insert(table.rows[i].begin() + 2, figure(find(without_image, shown[i].name)));
  }
  for (std::size_t k = 0; k < parts.size(); ++k) {
    TextTable wider = table;
    wider.heads.push_back(part_head(parts[k]));
    for (std::size_t i = 0; i < shown.size(); ++i)
      wider.rows[i].push_back(fixed(share(shown[i], k, among), 1));
    if (wider.width() > table_width)
      break;
    table = std::move(wider);
  }
  return table;
}

std::vector<Derivative> in_groups(std::vector<Derivative> derivatives) {
  std::stable_sort(derivatives.begin(), derivatives.end(),
                   [](const Derivative& a, const Derivative& b) { return a.group < b.group; });
  return derivatives;
}

// The table with the shares of these parts, with as many couplings as fit.
std::vector<std::string> fitted_lines(const std::vector<Derivative>& derivatives,
                                      const std::vector<Derivative>& without_image,
                                      const std::vector<std::string>& parts, bool all_parts,
                                      std::size_t most_lines) {
  std::vector<Derivative> shown = in_groups(derivatives);
  std::erase_if(shown, [&](const Derivative& d) { return vanishes(d, derivatives); });
  const std::size_t num_vanishing = derivatives.size() - shown.size();
  for (std::size_t num_left_out = 0;; ++num_left_out) {
    const TextTable table = table_of(shown, derivatives, without_image, parts);
    const std::vector<std::string> rows = table.lines();
    const std::size_t num_heads = rows.size() - shown.size();
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (i == num_heads || (i > num_heads && shown[i - num_heads].group != shown[i - num_heads - 1].group))
        lines.emplace_back(name_of(shown[i - num_heads].group));
      lines.push_back(rows[i]);
    }
    if (num_vanishing > 0)
      lines.push_back(std::to_string(num_vanishing) +
                      " more vanish, most of them by symmetry: --json or -o has them");
    if (num_left_out > 0)
      lines.push_back(std::to_string(num_left_out) + " more couplings: --json or -o");
    if (!all_parts)
      lines.emplace_back("shares of the parts: --json or -o");
    else if (table.heads.size() < (without_image.empty() ? 3 : 4) + parts.size())
      lines.emplace_back("shares of the other parts: --json or -o");
    if (lines.size() <= most_lines || shown.empty() || shown.back().group != DerivativeGroup::coupling)
      return lines;
    shown.pop_back();
  }
}

} // namespace

std::vector<std::string> derivative_lines(const std::vector<Derivative>& derivatives,
                                          const std::vector<Derivative>& without_image,
                                          const std::vector<std::string>& parts, std::size_t most_lines) {
  const auto lines = fitted_lines(derivatives, without_image, parts, true, most_lines);
  // Long names of parts make a high head: without couplings to leave out, the shares go.
  return lines.size() <= most_lines ? lines : fitted_lines(derivatives, without_image, {}, false, most_lines);
}

std::vector<Fields> derivative_fields(const std::vector<Derivative>& derivatives,
                                      const std::vector<Derivative>& without_image,
                                      const std::vector<std::string>& parts) {
  const auto add = [&](Fields& fields, const std::optional<double>& figure) {
    if (!without_image.empty())
      fields.push_back({"value_without_image", figure});
  };
  std::vector<Fields> all;
  for (const Derivative& d : in_groups(derivatives)) {
    const Derivative* bare = find(without_image, d.name);
    std::vector<Fields> of_parts;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      of_parts.push_back(
          {{"part", parts[k]}, {"value", d.parts[k]}, {"share_percent", share(d, k, derivatives)}});
      add(of_parts.back(), bare ? std::optional(bare->parts[k]) : std::nullopt);
    }
    all.push_back(
        {{"group", std::string(name_of(d.group))}, {"name", d.name}, {"value", d.value}, {"unit", d.unit}});
    add(all.back(), bare ? std::optional(bare->value) : std::nullopt);
    all.back().push_back({"parts", std::move(of_parts)});
  }
  return all;
}

} // namespace vlm
