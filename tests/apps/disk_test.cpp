#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include <unistd.h>

#include "run_program.hpp"

namespace {

using Words = std::vector<std::string>;

const std::string polar_program = std::string(VLM_BIN_DIR) + "/vlm-polar";

// Runs a script on a disk of 128 kB, its working folder, which goes with it; "$@" is a study with a record of
// some 650 kB, foil.h5. As root or, where that is allowed, as anybody. Nothing if no disk can be mounted.
std::optional<Outcome> on_small_disk(const std::string& script) {
  const TestFolder folder;
  for (const Words& name_space : {Words{"--mount"}, Words{"--mount", "--map-root-user"}}) {
    Words words = name_space;
    words.insert(words.end(),
                 {"sh", "-c", R"(mount -t tmpfs -o size=128k none "$0" && cd "$0" || exit 99
)" + script,
                  folder.path(), polar_program, even, "--angle-deg", "0:10:0.01", "-o", "foil.h5"});
    const Outcome outcome = run_program("unshare", words);
    if (outcome.out.find("disk") != std::string::npos)
      return outcome;
  }
  return {};
}

constexpr const char* no_disk = "no disk can be mounted here: not root, and no name spaces of users";

// What both scripts must print: failure, then success once what was in the way is gone.
constexpr const char* told_and_spared = "disk\nexit 1\nan older record\nfoil.h5\n"
                                        "exit 0\nfoil.h5\n   (0): 1\n";

TEST(Disk, FullIsToldAndSparesTheOlderRecord) {
  const auto outcome = on_small_disk(R"(echo disk
printf '\211HDF\r\n\032\nan older record' > foil.h5
"$@" > /dev/null; echo "exit $?"
tail -n 1 foil.h5; echo; ls
mount -o remount,size=10m none .
"$@" > /dev/null; echo "exit $?"
ls; h5dump -a /complete foil.h5 | grep '(0)')");
  if (!outcome)
    GTEST_SKIP() << no_disk;
  EXPECT_EQ(outcome->err,
            "vlm-polar: error: foil.h5.partial: cannot be written: No space left on device; make "
            "room or write elsewhere\n");
  EXPECT_EQ(outcome->out, told_and_spared);
}

// Where no disk can be mounted, too: no file may become larger than a limit, in blocks of 512 bytes.
TEST(Disk, LimitOfFileSizeIsToldAndSparesTheOlderRecord) {
  const TestFolder folder;
  const Outcome outcome =
      run_program("sh", {"-c", R"(cd "$0" || exit 99
printf '\211HDF\r\n\032\nan older record' > foil.h5
trap '' XFSZ; ulimit -f 256
"$@" > /dev/null; echo "exit $?"
tail -n 1 foil.h5; echo; ls)",
                         folder.path(), polar_program, even, "--angle-deg", "0:10:0.01", "-o", "foil.h5"});
  EXPECT_EQ(outcome.err, "vlm-polar: error: foil.h5.partial: cannot be written: File too large; make room or "
                         "write elsewhere\n");
  EXPECT_EQ(outcome.out, "exit 1\nan older record\nfoil.h5\n");
}

TEST(Disk, ReadOnlyIsToldBeforeTheStudy) {
  const auto outcome = on_small_disk(R"(echo disk
printf '\211HDF\r\n\032\nan older record' > foil.h5
mount -o remount,ro none .
"$@"; echo "exit $?"
tail -n 1 foil.h5; echo; ls
mount -o remount,rw,size=10m none .
"$@" > /dev/null; echo "exit $?"
ls; h5dump -a /complete foil.h5 | grep '(0)')");
  if (!outcome)
    GTEST_SKIP() << no_disk;
  EXPECT_EQ(outcome->err, "vlm-polar: error: foil.h5.partial: cannot be created: Read-only file system; make "
                          "room or write elsewhere\n");
  EXPECT_EQ(outcome->out, told_and_spared);
}

TEST(Disk, FolderOfAnotherIsTold) {
  const TestFolder folder;
  const std::string record = folder / "foil.h5";
  std::filesystem::permissions(folder.path(), std::filesystem::perms{0555});
  Words words{polar_program, even, "--angle-deg", "2", "-o", record};
  const TestFolder readable; // by anybody, as the build need not be
  std::filesystem::permissions(readable.path(), std::filesystem::perms{0755});
  for (const std::string& file : {polar_program, even})
    std::filesystem::copy(file, readable.path());
  words[0] = readable / "vlm-polar", words[1] = readable / "even.toml";
  if (geteuid() == 0) // whom permissions do not bind
    words.insert(words.begin(), {"setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"});
  const Outcome outcome = run_program(words[0], {words.begin() + 1, words.end()});
  EXPECT_EQ(outcome.err,
            "vlm-polar: error: " + record +
                ".partial: cannot be created: Permission denied; make room or write elsewhere\n");
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(outcome.exit_code, 1);
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

} // namespace
