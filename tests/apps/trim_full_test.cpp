#include <algorithm>
#include <sstream>

#include <gtest/gtest.h>

#include <vlm/file/text_table.hpp>

#include "run_program.hpp"

namespace {

// A terminal of 40 lines of 100 columns shows all of a table of the lake rescue board.
TEST(TrimProgram, TablesFitATerminal) {
  for (const std::vector<std::string>& view :
       {std::vector<std::string>{"--speeds-m-s", "4:8:0.5"},
        {"--speeds-m-s", "5:7:1", "--handling"},
        {"--speeds-m-s", "9", "--internal-loads", "--load-factor", "3"},
        {"--speeds-m-s", "5.5", "--reach-bank-deg", "0:40:5"}}) {
    std::vector<std::string> arguments = view;
    arguments.insert(arguments.begin(), VLM_CASES_DIR "/lake-rescue/heron-880.toml");
    const Outcome outcome = run_program("vlm-trim", arguments);
    EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
    const std::string& table = outcome.out;
    EXPECT_LE(static_cast<std::size_t>(std::count(table.begin(), table.end(), '\n')), vlm::table_lines)
        << table;
    std::istringstream stream(table);
    for (std::string line; std::getline(stream, line);)
      EXPECT_LE(vlm::columns_of(line), vlm::table_width) << line;
  }
}

} // namespace
