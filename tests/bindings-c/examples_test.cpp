// The examples of docs/c.md.

#include <cstdlib>

#include <gtest/gtest.h>

#include "../apps/run_program.hpp"

namespace {

TEST(CExamples, TheOneInCFindsAStabilizerThatCanBeRidden) {
  const Outcome outcome = run_program(VLM_C_EXAMPLE, {heron});
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_EQ(outcome.err, "7 of 7 settings\n");
  EXPECT_EQ(words_after(outcome.out, "least drag within the limits: "),
            (std::vector<std::string>{"1.0", "deg"}));
  EXPECT_EQ(lines_of(outcome.out).size(), 9U);
  const Outcome wrong = run_program(VLM_C_EXAMPLE, {"missing.toml"});
  EXPECT_EQ(wrong.exit_code, 1);
  EXPECT_EQ(wrong.err.rfind("stabilizer: vlm_case_read: missing.toml: found no such file", 0), 0U);
}

#ifndef VLM_SANITIZED // Python, which is not, could not load the library
TEST(CExamples, TheOneInPythonSaysTheSame) {
  ASSERT_EQ(setenv("VLM_LIBRARY", VLM_C_LIBRARY, 1), 0);
  const std::string example = VLM_C_EXAMPLES "/stabilizer.py";
  const Outcome outcome = run_program("/usr/bin/python3", {example, heron});
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_EQ(outcome.out, run_program(VLM_C_EXAMPLE, {heron}).out);
  const Outcome wrong = run_program("/usr/bin/python3", {example, "missing.toml"});
  EXPECT_EQ(wrong.exit_code, 1);
  EXPECT_EQ(wrong.err.rfind("stabilizer.py: vlm_case_read: missing.toml: found no such file", 0), 0U)
      << wrong.err;
  ASSERT_EQ(setenv("VLM_LIBRARY", "missing.so", 1), 0);
  const Outcome lost = run_program("/usr/bin/python3", {example, heron});
  EXPECT_EQ(lost.exit_code, 1);
  EXPECT_EQ(lost.err,
            "stabilizer.py: missing.so: cannot open shared object file: No such file or directory: set "
            "VLM_LIBRARY to the path of libvlm-c.so.2, in lib of where it was installed\n");
}
#endif

} // namespace
