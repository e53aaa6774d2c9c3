#include <gtest/gtest.h>

#include <string>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/shape/fuselage.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

// A front wing below the top of a short body, and a stabilizer clear of it: rings too strong by two
// millimetres of height.
TEST(Responses, NameTheSurfaceByWhichTheFlowAboutTheFuselageIsNotDetermined) {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  vlm::FuselageSize size;
  size.nose = -0.18, size.length = 0.5638, size.width = 0.0248, size.height = 0.0348;
  size.nose_length = 0.1317, size.tail_length = 0.3127;
  c.craft.fuselage = vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
  c.craft.surfaces[1].position = {0.2376, 0, 0.0148};
  const auto refusal = [&](double height) -> std::string {
    c.craft.surfaces[0].position.z = height;
    try {
      vlm::make_responses(c.craft, c.lattice, 0, {}, pool(), vlm::Motions::in_plane);
    } catch (const vlm::Error& error) {
      return error.what();
    }
    return "";
  };
  ASSERT_EQ(c.craft.surfaces[0].name, "front wing");
  EXPECT_EQ(
      refusal(0.00625).find("the flow about the fuselage is not determined: surface 'front wing' passes"),
      0U);
  EXPECT_EQ(refusal(0.0083), "");
}

} // namespace
