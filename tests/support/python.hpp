#pragma once

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

namespace python {

/// Has Debian's Python do something. Returns its exit code, -1 if a signal ended it or it cannot be run. No
/// shell reads the arguments, so paths may have any letters.
inline int run(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "/usr/bin/python3");
  std::vector<char*> words;
  for (std::string& argument : arguments)
    words.push_back(argument.data());
  words.push_back(nullptr);
  pid_t child = 0;
  int status = 0;
  if (posix_spawn(&child, words[0], nullptr, nullptr, words.data(), environ) != 0 ||
      waitpid(child, &status, 0) != child)
    return -1;
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/// Expects that h5py reads a record, finds what docs/record.md promises of it, and the figures of the lines
/// (read_record_h5py.py says what they look like).
inline void expect_readable(const std::filesystem::path& record, const std::string& lines) {
  const std::string expected = record.string() + ".expected";
  std::ofstream(expected) << lines;
  EXPECT_EQ(run({VLM_TESTS_DIR "/file/read_record_h5py.py", record, expected}), 0) << lines;
  std::filesystem::remove(expected);
}

/// Expects that an expression is true of a record, which it calls so.
inline void expect_true(const std::filesystem::path& record, const std::string& expression) {
  EXPECT_EQ(run({"-c",
                 "import h5py, sys\nwith h5py.File(sys.argv[1]) as record:\n    sys.exit(0 if " + expression +
                     " else 1)",
                 record}),
            0)
      << expression;
}

} // namespace python
