#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <unistd.h>

#include <nlohmann/json.hpp>

#include <vlm/base/version.hpp>

#include "run_program.hpp"

namespace {

using Words = std::vector<std::string>;

// The program must print nothing but this line on stderr, and exit with 2.
void expect_refused(const std::string& program, const Words& arguments, const std::string& message) {
  const Outcome outcome = run_program(program, arguments);
  EXPECT_EQ(outcome.err, program + ": error: " + message + "\n");
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(outcome.exit_code, 2);
}

Words polar_words(const Words& more) {
  Words words{even, "--angle-deg", "2"};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

Words twist_words(const Words& more) {
  Words words{swept, "--incidence-deg", "-1", "--twist-deg", "0"};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

TEST(CommandLine, UnknownOptionSuggestsHelp) {
  expect_refused("vlm-polar", polar_words({"--angel-deg", "3"}),
                 "unknown option --angel-deg: see vlm-polar --help");
  expect_refused("vlm-twist", twist_words({"--relay-wake"}),
                 "unknown option --relay-wake: see vlm-twist --help");
}

TEST(CommandLine, CasesAreNamedByPlaceAlone) {
  expect_refused("vlm-polar", {"--angle-deg", "2", "--case", even},
                 "unknown option --case: see vlm-polar --help");
}

TEST(CommandLine, RecordWithoutANameIsRefused) {
  for (const std::string option : {"-o", "--record"})
    expect_refused(
        "vlm-polar", polar_words({option, "--json"}),
        "--record: found '--json', wanted a file name, such as record.h5, or ./--json if that is one");
  EXPECT_FALSE(std::filesystem::exists("--json"));
}

TEST(CommandLine, ShortenedOptionIsUnknown) {
  expect_refused("vlm-polar", polar_words({"--thread", "1"}),
                 "unknown option --thread: see vlm-polar --help");
}

TEST(CommandLine, MissingCaseShowsTheUsage) {
  expect_refused("vlm-polar", {}, "no case file: write vlm-polar CASE --angle-deg FROM:TO:STEP [OPTION]...");
}

TEST(CommandLine, SecondCaseIsRefused) {
  expect_refused("vlm-polar", polar_words({swept}),
                 "found two case files, '" + even + "' and '" + swept + "', wanted one");
}

TEST(CommandLine, MissingAngleSaysHowToWriteIt) {
  expect_refused("vlm-polar", {even},
                 "no --angle-deg: write it with an angle or FROM:TO:STEP in degrees, such as -2:8:0.5");
}

TEST(CommandLine, WrongRangesSayWhatIsWrong) {
  const auto expect = [](const std::string& range, const std::string& rest) {
    expect_refused("vlm-polar", {even, "--angle-deg", range}, "--angle-deg: found " + rest);
  };
  const std::string wanted = ", wanted an angle or FROM:TO:STEP in degrees, such as -2:8:0.5";
  for (const std::string range : {"1:2", "1:2:1:1", "", "x", "0,5", "nan", "0:inf:1", "0:5:1e999", "1:2:"})
    expect(range, "'" + range + "'" + wanted);
  expect("0:5:0", "a step of 0 in '0:5:0', wanted a step from 0 towards 5");
  expect("5:0:1", "a step away from 0 in '5:0:1', wanted 5:0:-1");
  expect("0:10:1e-5", "'0:10:1e-5' with more than 1000000 angles, wanted a longer step");
  expect("90", "90 degrees, wanted angles from -45 to 45");
}

TEST(CommandLine, JsonAndCsvExcludeEachOther) {
  expect_refused("vlm-polar", polar_words({"--json", "--csv"}),
                 "--csv: found it beside --json, wanted one of the two");
  expect_refused("vlm-twist", twist_words({"--csv", "--json"}),
                 "--csv: found it beside --json, wanted one of the two");
}

TEST(CommandLine, BothKindsOfLiftExcludeEachOther) {
  expect_refused("vlm-twist", twist_words({"--lift-coefficient", "0.4", "--mass-kg", "80"}),
                 "--mass-kg: found it beside --lift-coefficient, wanted one of the two");
}

TEST(CommandLine, MassWithoutSpeedAsksForIt) {
  expect_refused(
      "vlm-twist", {even, "--incidence-deg", "0", "--twist-deg", "0", "--mass-kg", "80"},
      "a mass without a speed: write --speed-m-s V as well, or --lift-coefficient CL in place of both");
}

TEST(CommandLine, UnknownNamesShowTheKnownOnes) {
  expect_refused("vlm-twist", twist_words({"--surface", "rudder"}),
                 "--surface: found no surface 'rudder', wanted one of 'front wing', 'stabilizer'");
  expect_refused("vlm-twist", twist_words({"--shape", "early"}),
                 "--shape: found 'early', wanted one of linear, late");
  expect_refused("vlm-polar", polar_words({"--strips", "rudder=4"}),
                 "--strips: found no surface 'rudder', wanted one of 'front wing', 'stabilizer'");
}

TEST(CommandLine, SurfaceMustBeNamedAmongMany) {
  expect_refused(
      "vlm-twist", {test_case("ladder.toml"), "--incidence-deg", "0", "--twist-deg", "0"},
      "no --surface: write which of the 12 surfaces to set, such as --surface 'wing number 12 of the ladder "
      "on the boat'");
}

TEST(CommandLine, CountsOutOfBoundsAreRefused) {
  expect_refused("vlm-polar", polar_words({"--strips", "0"}),
                 "--strips: found '0', wanted a whole number from 1 to 1000");
  expect_refused("vlm-polar", polar_words({"--panels-per-strip", "stabilizer=2.5"}),
                 "--panels-per-strip: found '2.5', wanted a whole number from 1 to 200");
  expect_refused("vlm-polar", polar_words({"--strips", "1000", "--panels-per-strip", "200"}),
                 "--strips, --panels-per-strip: found 400000 panels in all, wanted at most 50000");
  expect_refused("vlm-polar", polar_words({"--threads", "-1"}),
                 "--threads: found '-1', wanted a whole number from 0 to 1024");
}

TEST(CommandLine, CountThatCannotBeLaidNamesTheNearest) {
  const Outcome outcome = run_program("vlm-polar", {swept, "--angle-deg", "2", "--strips", "front wing=11"});
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_EQ(lines_of(outcome.err).size(), 1U);
  EXPECT_NE(outcome.err.find("front wing"), std::string::npos) << outcome.err;
  EXPECT_NE(outcome.err.find("12"), std::string::npos) << outcome.err;
}

TEST(CommandLine, WakeOptionsThatContradictAreRefused) {
  expect_refused("vlm-polar", polar_words({"--wake", "body", "--wake-angle-deg", "2"}),
                 "--wake-angle-deg: found it beside --wake body, wanted it with --wake stream only");
  expect_refused("vlm-polar", polar_words({"--wake", "body", "--relay-wake"}),
                 "--relay-wake: found it beside --wake or --wake-angle-deg, wanted one of them");
  expect_refused("vlm-polar", polar_words({"--wake", "up"}), "--wake: found 'up', wanted stream or body");
}

TEST(CommandLine, RatesWithoutASpeedAskForIt) {
  for (const std::string option : {"--roll-rate-deg-s", "--pitch-rate-deg-s", "--yaw-rate-deg-s"})
    expect_refused("vlm-polar", polar_words({option, "3"}),
                   option +
                       ": found no speed to go with it, wanted speed_m_s under [operation] or --speed-m-s");
  EXPECT_EQ(run_program("vlm-polar", polar_words({"--roll-rate-deg-s", "3", "--speed-m-s", "4"})).exit_code,
            0);
}

TEST(CommandLine, DerivativesAreOfOneAngleAndNoTableOfPoints) {
  expect_refused("vlm-polar", {even, "--angle-deg", "0:4:2", "--derivatives"},
                 "--derivatives: found 3 angles of attack, wanted a single one, such as --angle-deg 3");
  expect_refused("vlm-polar", polar_words({"--derivatives", "--csv"}),
                 "--derivatives: found it beside --csv, wanted a table, --json or -o");
}

TEST(CommandLine, SideslipOutOfBoundsIsRefused) {
  expect_refused("vlm-polar", polar_words({"--sideslip-deg", "60"}),
                 "--sideslip-deg: found '60', wanted a number from -20 to 20");
}

TEST(CommandLine, WrongLimitsAreRefused) {
  expect_refused("vlm-twist", twist_words({"--centre-of-lift-mm", "30"}),
                 "--centre-of-lift-mm: found '30', wanted FROM:TO, such as -40:25");
  expect_refused("vlm-twist", twist_words({"--centre-of-lift-mm", "30:-30"}),
                 "--centre-of-lift-mm: found '30:-30', wanted the lower end first: -30:30");
}

TEST(CommandLine, TooLargeAGridIsRefused) {
  expect_refused(
      "vlm-twist", {swept, "--incidence-deg", "0:2:0.0001", "--twist-deg", "0:2:0.0001"},
      "found 20001 incidences and 20001 twists, wanted at most 100000000 settings: take longer steps");
}

TEST(CommandLine, RecordOntoADirectoryOrIntoNoFolderIsRefused) {
  const TestFolder folder;
  expect_refused("vlm-polar", polar_words({"-o", folder.path()}),
                 folder.path().string() + ": found a directory, wanted a file name for the record");
  const std::string nowhere = folder / "none/foil.h5";
  expect_refused("vlm-polar", polar_words({"-o", nowhere}),
                 nowhere + ": found no folder '" + (folder / "none").string() +
                     "', wanted one that exists: create it first");
}

// Each of these studies fails, which must not be found out before another run's record is.
TEST(CommandLine, RecordIsClaimedBeforeTheStudy) {
  const TestFolder folder;
  const std::string record = folder / "foil.h5", partial = record + ".partial";
  const int held = open(partial.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  ASSERT_EQ(flock(held, LOCK_EX), 0);
  const std::string wanted =
      record + ": found another run writing this record, wanted none: wait for it, or give another name";
  const std::string ridden = test_case("ridden.toml");
  expect_refused("vlm-trim", {ridden, "--speeds-m-s", "1", "-o", record}, wanted);
  expect_refused("vlm-trim", {ridden, "--speeds-m-s", "1", "--handling", "-o", record}, wanted);
  expect_refused("vlm-compare", {heron, heron, "-o", record}, wanted);
  close(held);
}

TEST(CommandLine, MissingCaseFileIsRefused) {
  expect_refused("vlm-polar", {"none.toml", "--angle-deg", "1"},
                 "none.toml: found no such file, wanted a case file (TOML 1.0)");
}

TEST(CommandLine, LiftThatCannotBeCarriedIsRefused) {
  const Outcome outcome = run_program("vlm-twist", twist_words({"--lift-coefficient", "4"}));
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_NE(outcome.err.find("ask for less lift"), std::string::npos) << outcome.err;
}

TEST(CommandLine, FullDiskOnStandardOutputExitsWithOne) {
  const TestFolder folder;
  RunningProgram program(
      folder, "sh", {"-c", std::string(VLM_BIN_DIR) + "/vlm-polar '" + even + "' --angle-deg 2 > /dev/full"});
  const Outcome outcome = program.wait();
  EXPECT_EQ(outcome.exit_code, 1);
  EXPECT_EQ(outcome.err,
            "vlm-polar: error: the results cannot be written to standard output: look for a full disk\n");
}

TEST(CommandLine, HelpShowsExamplesWithinTheWidth) {
  for (const std::string program : {"vlm-polar", "vlm-twist"}) {
    const Outcome outcome = run_program(program, {"--help"});
    EXPECT_EQ(outcome.exit_code, 0);
    EXPECT_NE(outcome.out.find("\nExamples\n  " + program + " heron-880.toml"), std::string::npos);
    for (const std::string& line : lines_of(outcome.out))
      EXPECT_LE(line.size(), 100U) << line;
  }
}

TEST(CommandLine, VersionIsThatOfTheLibrary) {
  EXPECT_EQ(run_program("vlm-twist", {"--version"}).out, "vlm-twist " + std::string(vlm::version()) + "\n");
}

TEST(CommandLine, CountsOfOneSurfaceGoBeforeThoseOfAll) {
  const Outcome outcome = run_program("vlm-polar", polar_words({"--json", "--strips", "stabilizer=4",
                                                                "--strips", "6", "--panels-per-strip", "2"}));
  const auto json = nlohmann::json::parse(outcome.out);
  EXPECT_EQ(json["surfaces"][0]["strips"], 6);
  EXPECT_EQ(json["surfaces"][1]["strips"], 4);
  EXPECT_EQ(json["lattice"]["num_panels"], 20);
}

TEST(CommandLine, LatticeIsLaidAsAskedFor) {
  const auto lattice = [](const Words& more) {
    Words words = polar_words({"--json"});
    words.insert(words.end(), more.begin(), more.end());
    return nlohmann::json::parse(run_program("vlm-polar", words).out)["lattice"];
  };
  EXPECT_EQ(lattice({})["spacing"], "semicircle");
  EXPECT_EQ(lattice({})["displaced"], false);
  EXPECT_EQ(lattice({"--spacing", "uniform"})["spacing"], "uniform");
  EXPECT_EQ(lattice({"--displaced"})["displaced"], true);
  expect_refused("vlm-polar", polar_words({"--spacing", "even"}),
                 "--spacing: found 'even', wanted semicircle or uniform");
}

} // namespace
