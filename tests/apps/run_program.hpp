#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <sys/types.h>

/// A folder of its own for one test, removed with it.
class TestFolder {
public:
  TestFolder();
  ~TestFolder();
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;

  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }
  const std::filesystem::path& path() const { return path_; }

private:
  std::filesystem::path path_;
};

/// What a program that has ended left.
struct Outcome {
  int exit_code = -1; ///< -1 if a signal ended it
  std::string out, err;
};

/// A program on its way; name: one of ours, or one on the search path. Its output goes to files in the
/// folder.
class RunningProgram {
public:
  RunningProgram(const TestFolder&, const std::string& name, const std::vector<std::string>& arguments);

  void interrupt() const; ///< Ctrl-C
  Outcome wait();         ///< for its end

private:
  std::filesystem::path out_, err_;
  pid_t pid_ = 0;
};

/// Runs a program to its end.
Outcome run_program(const std::string& name, const std::vector<std::string>& arguments);

/// Expects that the record of a run has the figures that it prints as JSON.
void expect_record_as_json(const std::string& program, const std::vector<std::string>& arguments);

/// A case of these tests.
std::string test_case(const std::string& name);
inline const std::string even = test_case("even.toml"), swept = test_case("swept.toml");

/// The rescue board.
inline const std::string heron = VLM_CASES_DIR "/lake-rescue/heron-880.toml";

std::string content(const std::filesystem::path&);

std::vector<std::string> lines_of(const std::string& text);

/// The words of the first line that starts with these, blanks before it left out; none if no line does.
std::vector<std::string> words_after(const std::string& text, const std::string& start);
