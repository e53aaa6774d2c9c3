// What of a craft is in the water, and what is refused.

#include <gtest/gtest.h>

#include "../support/wings.hpp"

#include <vlm/base/error.hpp>

namespace {

using namespace wings;

vlm::Craft riding(double depth, double bank = 0) {
  vlm::Surface wing = rectangle(6);
  vlm::Surface mast =
      from_stations("mast", {{0, 0, 0, 1, 0, flat_section()}, {0, 4, 0, 1, 0, flat_section()}});
  mast.position = {1, 0, 0};
  mast.pierces = true;
  vlm::Craft craft = craft_of({wing, mast});
  craft.fuselage = body(-1, 5, 0.4, 0.4, 1, 1);
  craft.still_surface = {vlm::Boundary::free, depth, {}, bank};
  return craft;
}

std::string refusal(const vlm::Craft& craft) {
  try {
    vlm::make_lattice(craft, counts({{12, 4}, {6, 4}}));
  } catch (const vlm::Error& error) {
    return error.what();
  }
  return "";
}

TEST(Wetted, AMastRunsFromTheSkinToTheStillSurface) {
  const vlm::Lattice l = vlm::make_lattice(riding(2), counts({{12, 4}, {6, 4}}));
  const vlm::Row& mast = l.rows[2];
  EXPECT_EQ(mast.ends[0], vlm::RowEnd::skin);
  EXPECT_EQ(mast.ends[1], vlm::RowEnd::still_surface);
  double width = 0;
  for (std::size_t j = 0; j < mast.num_strips; ++j)
    width += l.strips[mast.first_strip + j].width;
  EXPECT_NEAR(width, 2 - 0.2, 1e-9);
  ASSERT_EQ(l.roots.size(), 3U);
  ASSERT_EQ(l.piercings.size(), 1U);
  EXPECT_NEAR(l.piercings[0].arc, 2, 1e-9);
}

TEST(Wetted, AMastPiercesWhetherMirroredOrNot) {
  vlm::Craft craft = riding(2);
  craft.still_surface.boundary = vlm::Boundary::none;
  const vlm::Lattice l = vlm::make_lattice(craft, counts({{12, 4}, {6, 4}}));
  EXPECT_EQ(l.rows[2].ends[1], vlm::RowEnd::tip);
  EXPECT_EQ(l.piercings.size(), 1U);
}

TEST(Wetted, WhatStandsOutOfTheWaterSaysByHowMuchAndWhatToDo) {
  EXPECT_EQ(refusal(riding(2)), "");
  EXPECT_EQ(refusal(riding(5)),
            "surface 'mast' does not reach the still surface: its top stays 1000 mm below it; "
            "make it longer or lower the depth");
  EXPECT_EQ(refusal(riding(0.1)),
            "surface 'mast' leaves the fuselage above the still surface: increase the depth");
  const std::string breached = refusal(riding(1, 0.5)); // the tip: 3 sin 0.5 = 1.438 m up
  EXPECT_NE(
      breached.find(
          "surface 'wing' stands 438.277 mm above the still surface at x = 0, y = -3000 mm: increase the "
          "depth or bank less"),
      std::string::npos)
      << breached;
  EXPECT_EQ(refusal(riding(0)).find("depth"), std::string("the ").size()) << refusal(riding(0));
}

TEST(Wetted, AFuselageOutOfTheWaterIsRefused) {
  vlm::Craft craft = riding(0.15);
  craft.surfaces.pop_back();
  try {
    vlm::make_lattice(craft, counts({{12, 4}}));
    FAIL();
  } catch (const vlm::Error& error) {
    EXPECT_EQ(std::string(error.what()).find("the fuselage stands 50 mm above the still surface at x = "), 0U)
        << error.what();
  }
}

// A peak of a straight outline, wherever along the span.
TEST(Wetted, APeakOutOfTheWaterIsRefused) {
  const double peak = 0.7137;
  const vlm::Surface wing = from_stations("wing", {{-3, -1, 0, 1, 0, flat_section()},
                                                   {peak, 0.0015, 0, 1, 0, flat_section()},
                                                   {3, -1, 0, 1, 0, flat_section()}});
  vlm::Craft craft = craft_of({wing});
  craft.still_surface = {vlm::Boundary::free, 0.001, {}, 0};
  const auto refused = [&] {
    try {
      vlm::make_lattice(craft, counts({{12, 4}}));
    } catch (const vlm::Error& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  EXPECT_EQ(refused().find("surface 'wing' stands 0.5 mm above the still surface at x = "), 0U) << refused();
  craft.still_surface.depth = 0.0016;
  EXPECT_EQ(refused(), "");
}

TEST(Wetted, OneStripIsTooFewForTwoSidesOfTheFuselage) {
  vlm::Craft craft =
      craft_of({from_stations("wing", {{-2, 0, 0, 1, 0, flat_section()}, {3, 0, 0, 1, 0, flat_section()}})});
  craft.fuselage = body(-1, 5, 0.4, 0.4, 1, 1);
  try {
    vlm::make_lattice(craft, counts({{1, 4}}));
    FAIL();
  } catch (const vlm::Error& error) {
    EXPECT_EQ(
        std::string(error.what()),
        "surface 'wing': 1 strip cannot be laid: the fuselage cuts the span in two; the nearest count that "
        "can is 2");
  }
}

TEST(Wetted, AWallThroughTheCraftIsRefused) {
  vlm::Craft craft = riding(2);
  craft.still_surface = {vlm::Boundary::wall, {}, 0.1, 0};
  craft.surfaces.pop_back();
  EXPECT_NE(refusal(craft), "");
  craft.still_surface.clearance = 1;
  EXPECT_NO_THROW(vlm::make_lattice(craft, counts({{12, 4}})));
}

// A body 0.4 m wide and high, its top at 0.2 m. With corners of 0.1 m the top is flat over 0.2 m, of which an
// eighth is 25 mm.
TEST(Wetted, ASurfaceEndsOnTheSkinRunsOnThroughTheBodyOrIsClearOfIt) {
  using enum vlm::RowEnd;
  const auto inner_end = [](double height, vlm::CutShape shape, double nose) {
    vlm::Craft craft = craft_of({rectangle(6)});
    craft.surfaces[0].position.z = height;
    vlm::FuselageSize size;
    size.nose = nose, size.length = 5, size.width = size.height = 0.4;
    size.nose_length = size.tail_length = 1;
    if (shape == vlm::CutShape::rounded_rectangle)
      size.corner = 0.1;
    craft.fuselage = vlm::shaped_fuselage(shape, size);
    const vlm::Row row = vlm::make_lattice(craft, counts({{12, 4}})).rows[0];
    return row.ends[1];
  };
  for (const vlm::CutShape shape : {vlm::CutShape::elliptical, vlm::CutShape::rounded_rectangle}) {
    EXPECT_EQ(inner_end(0.19, shape, -1), skin);
    EXPECT_EQ(inner_end(0.19, shape, 0.3), carried);  // nose behind the leading edge
    EXPECT_EQ(inner_end(0.19, shape, -0.3), carried); // which the nose is not high enough for
    EXPECT_EQ(inner_end(0.226, shape, -1), tip);
  }
  EXPECT_EQ(inner_end(0.201, vlm::CutShape::elliptical, -1), tip);
  EXPECT_EQ(inner_end(0.201, vlm::CutShape::rounded_rectangle, -1), skin);
  EXPECT_EQ(inner_end(0.224, vlm::CutShape::rounded_rectangle, -1), skin);
}

} // namespace
