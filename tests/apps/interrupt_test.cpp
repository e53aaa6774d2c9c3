#include <chrono>
#include <thread>

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "run_program.hpp"

namespace {

using nlohmann::json;

// Interrupts a program once it has started its record, that is just before its study.
Outcome interrupted(const TestFolder& folder, const std::string& name, std::vector<std::string> arguments) {
  const std::filesystem::path record = folder / "foil.h5", partial = folder / "foil.h5.partial";
  arguments.insert(arguments.end(), {"-o", record});
  RunningProgram program(folder, name, arguments);
  for (int i = 0; i < 6000 && !std::filesystem::exists(partial); ++i)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  program.interrupt();
  return program.wait();
}

void expect_closed_incomplete(const TestFolder& folder) {
  EXPECT_FALSE(std::filesystem::exists(folder / "foil.h5.partial"));
  const std::string complete = run_program("h5dump", {"-a", "/complete", folder / "foil.h5"}).out;
  EXPECT_NE(complete.find("(0): 0"), std::string::npos) << complete;
}

json expect_cut_short(const Outcome& outcome) {
  json result = json::parse(outcome.out);
  EXPECT_EQ(result["complete"], false);
  EXPECT_EQ(result["num_points"], result["points"].size());
  EXPECT_LT(result["num_points"], result["num_points_wanted"]);
  return result;
}

TEST(Interrupt, PolarPrintsWhatWasFinishedAndClosesItsRecord) {
  const TestFolder folder;
  const Outcome outcome =
      interrupted(folder, "vlm-polar", {swept, "--angle-deg", "0:10:0.0001", "--relay-wake", "--json"});
  EXPECT_EQ(outcome.exit_code, 130);
  EXPECT_EQ(outcome.err, "");
  const json result = expect_cut_short(outcome);
  EXPECT_EQ(result["num_points_wanted"], 100001);
  expect_closed_incomplete(folder);
}

TEST(Interrupt, TwistSaysHowFarItCame) {
  const TestFolder folder;
  const Outcome outcome = interrupted(folder, "vlm-twist",
                                      {swept, "--incidence-deg", "-4:5.99:0.01", "--twist-deg",
                                       "-4:5.99:0.01", "--strips", "60", "--panels-per-strip", "2"});
  EXPECT_EQ(outcome.exit_code, 130);
  EXPECT_EQ(outcome.err, "");
  EXPECT_NE(outcome.out.find("stopped after "), std::string::npos) << outcome.out;
  EXPECT_NE(outcome.out.find(" of 1000000 settings"), std::string::npos) << outcome.out;
  expect_closed_incomplete(folder);
}

TEST(Interrupt, PlacementsAreKeptAsFarAsTheyCame) {
  const TestFolder folder;
  const Outcome outcome = interrupted(
      folder, "vlm-twist",
      {test_case("ridden.toml"), "--speed-m-s", "6", "--moved-aft-mm", "-50:49.99:0.01", "--json"});
  EXPECT_EQ(outcome.exit_code, 130);
  EXPECT_EQ(outcome.err, "");
  expect_cut_short(outcome);
  expect_closed_incomplete(folder);
}

TEST(Interrupt, TrimHasItsRecordFromTheStart) {
  const TestFolder folder;
  const Outcome outcome =
      interrupted(folder, "vlm-trim", {test_case("ridden.toml"), "--speeds-m-s", "5:9:0.001", "--json"});
  EXPECT_EQ(outcome.exit_code, 130);
  EXPECT_EQ(outcome.err, "");
  expect_cut_short(outcome);
  EXPECT_FALSE(std::filesystem::exists(folder / "foil.h5.partial"));
}

// A fit has nothing to show before its end, and Ctrl-C ends it at once.
TEST(Interrupt, AFitEnds) {
  const TestFolder folder;
  RunningProgram program(folder, "vlm-trim",
                         {test_case("ridden.toml"), "--speeds-m-s", "5:9:0.001", "--load-station-mm", "-100",
                          "--incidence-deg", "-4:4"});
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  program.interrupt();
  const Outcome outcome = program.wait();
  EXPECT_EQ(outcome.exit_code, -1); // by the signal
  EXPECT_EQ(outcome.out, "");
}

} // namespace
