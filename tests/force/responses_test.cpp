#include <gtest/gtest.h>

#include <string>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>
#include <vlm/force/responses.hpp>
#include <vlm/shape/fuselage.hpp>

#include "../support/wings.hpp"

namespace {

using namespace wings;

// A stabilizer that lies half out of the skin of a slender tail.
TEST(Responses, NameTheSurfaceByWhichTheFlowAboutTheFuselageIsNotDetermined) {
  vlm::Case c = vlm::read_case(VLM_CASES_DIR "/lake-rescue/heron-880.toml");
  vlm::FuselageSize size;
  size.nose = -0.205, size.length = 0.75, size.width = 0.028, size.height = 0.036;
  size.nose_length = 0.06, size.tail_length = 0.18;
  c.craft.fuselage = vlm::shaped_fuselage(vlm::CutShape::elliptical, size);
  const auto refusal = [&](double height) -> std::string {
    c.craft.surfaces[1].position = {0.45, 0, height};
    try {
      vlm::make_responses(c.craft, c.lattice, 0, {}, pool(), vlm::Motions::in_plane);
    } catch (const vlm::Error& error) {
      return error.what();
    }
    return "";
  };
  ASSERT_EQ(c.craft.surfaces[1].name, "stabilizer");
  EXPECT_EQ(refusal(0.008).find("the flow about the fuselage is not determined: surface 'stabilizer' passes"),
            0U);
  EXPECT_EQ(refusal(0.007), "");
}

} // namespace
