#include "run_program.hpp"

#include <csignal>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../support/python.hpp"

TestFolder::TestFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "vlm-test-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr)
    throw std::runtime_error("no folder for a test");
  path_ = name;
}

TestFolder::~TestFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

RunningProgram::RunningProgram(const TestFolder& folder, const std::string& name,
                               const std::vector<std::string>& arguments)
    : out_(folder / "stdout"), err_(folder / "stderr") {
  const std::filesystem::path ours = std::filesystem::path(VLM_BIN_DIR) / name;
  std::vector<std::string> words{std::filesystem::exists(ours) ? ours.string() : name};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words)
    argv.push_back(word.data());
  argv.push_back(nullptr);

  posix_spawn_file_actions_t files;
  posix_spawn_file_actions_init(&files);
  posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, out_.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  posix_spawn_file_actions_addopen(&files, STDERR_FILENO, err_.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  const int failure = posix_spawnp(&pid_, argv[0], &files, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&files);
  if (failure != 0)
    throw std::runtime_error(words[0] + " cannot be run");
}

void RunningProgram::interrupt() const {
  kill(pid_, SIGINT);
}

Outcome RunningProgram::wait() {
  int status = 0;
  waitpid(pid_, &status, 0);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, content(out_), content(err_)};
}

Outcome run_program(const std::string& name, const std::vector<std::string>& arguments) {
  const TestFolder folder;
  return RunningProgram(folder, name, arguments).wait();
}

void expect_record_as_json(const std::string& program, const std::vector<std::string>& arguments) {
  const TestFolder folder;
  std::vector<std::string> words = arguments;
  words.insert(words.end(), {"-o", folder / "record.h5", "--json"});
  const Outcome outcome = RunningProgram(folder, program, words).wait();
  ASSERT_EQ(outcome.exit_code, 0) << outcome.err;
  python::expect_readable(folder / "record.h5", "/@complete 1\n");
  EXPECT_EQ(python::run(
                {VLM_TESTS_DIR "/file/read_record_beside_json.py", folder / "record.h5", folder / "stdout"}),
            0)
      << arguments.back();
}

std::string test_case(const std::string& name) {
  return std::string(VLM_TESTS_DIR) + "/apps/" + name;
}

std::string content(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}

std::vector<std::string> words_after(const std::string& text, const std::string& start) {
  for (const std::string& line : lines_of(text)) {
    const std::size_t first = line.find_first_not_of(' ');
    if (first == std::string::npos || line.compare(first, start.size(), start) != 0)
      continue;
    std::istringstream stream(line.substr(first + start.size()));
    std::vector<std::string> words;
    for (std::string word; stream >> word;)
      words.push_back(word);
    return words;
  }
  return {};
}
