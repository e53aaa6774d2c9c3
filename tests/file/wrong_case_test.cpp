#include <filesystem>
#include <map>
#include <string>

#include <gtest/gtest.h>

#include <vlm/base/error.hpp>
#include <vlm/file/case.hpp>

namespace vlm {
namespace {

const std::filesystem::path cases = std::filesystem::path(VLM_TESTS_DIR) / "file";

// The message of the error that reading ends in, the folder of the file left out.
std::string error_of(const std::filesystem::path& path) {
  try {
    read_case(path);
  } catch (const Error& error) {
    std::string message = error.what();
    const std::string where = path.parent_path().string() + "/";
    for (auto at = message.find(where); at != std::string::npos; at = message.find(where))
      message.erase(at, where.size());
    EXPECT_EQ(error.kind(), ErrorKind::input);
    return message;
  }
  return "no error";
}

TEST(Case, DirectoryIsRefused) {
  EXPECT_EQ(error_of(cases / "bad"), "bad: found a directory, wanted a case file (TOML 1.0)");
}

TEST(Case, MissingFileIsRefused) {
  EXPECT_EQ(error_of(cases / "none.toml"), "none.toml: found no such file, wanted a case file (TOML 1.0)");
}

TEST(Case, EndlessFileIsRefused) {
  EXPECT_EQ(error_of("/dev/zero"), "zero: found more than 1000000 bytes, wanted a case file (TOML 1.0)");
}

// What each wrong case must be refused with, after its path; of a wrong contour, with the name of that file.
const std::map<std::string, std::string> expected_errors = {
    {"area_is_zero.toml", "30:12: surface[1].area_cm2: found 0, wanted a number from 0.001 to 10000000000"},
    {"bank_in_boundless_water.toml", "5:12: water.bank_deg: found it in water without bounds, wanted it "
                                     "beside depth_mm or clearance_mm only"},
    {"bank_on_its_side.toml", "6:12: water.bank_deg: found 90, wanted a number from -79 to 79"},
    {"boundary_free_without_depth.toml",
     "3:1: water.depth_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"boundary_unknown.toml",
     "5:12: water.boundary: found \"wave\", wanted one of \"free\", \"wall\", \"none\" (nearest: \"wall\")"},
    {"boundary_wall_without_clearance.toml",
     "3:1: water.clearance_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"clearance_without_wall.toml",
     "6:16: water.clearance_mm: found it without a wall, wanted it beside boundary = \"wall\" only"},
    {"contour_comma.toml", "contour_comma.txt:2: found \"0,9500 0,00807\", wanted two numbers, x and z, with "
                           "blanks between them and decimal points"},
    {"contour_faces.toml",
     "contour_faces.txt: point 16 starts anew at the other end of the chord: found the two faces listed one "
     "after the other, both from the same edge; wanted the points in order round the contour: from the "
     "trailing edge over one face to the leading edge, and over the other back to the trailing edge"},
    {"contour_few.toml", "contour_few.txt: found 5 points of a contour, wanted at least 10"},
    {"contour_gap.toml", "contour_gap.txt: found a trailing-edge gap of 5 % of the chord between the first "
                         "and the last point, wanted at most 3 %"},
    {"contour_heading.toml", "contour_heading.txt:1: found \"Tip section, 12 % thick\", wanted two numbers, "
                             "x and z, with blanks between them and decimal points; put # before a heading"},
    {"contour_is_a_device.toml",
     "21:11: section.centre.contour: /dev/zero: found no plain file, wanted a text file of contour points"},
    {"contour_is_a_directory.toml",
     "21:11: section.centre.contour: ../bad: found a directory, wanted a text file of contour points"},
    {"contour_missing.toml", "21:11: section.centre.contour: contour_missing.txt: found no such file, wanted "
                             "a text file of contour points"},
    {"curve_unknown.toml",
     "30:9: surface[1].curve: found \"smoth\", wanted one of \"straight\", \"smooth\" (nearest: \"smooth\")"},
    {"deck_height_negative.toml", "41:13: deck.height_mm: found -850, wanted a number from 0.001 to 1000000"},
    {"deck_missing.toml",
     "1:1: deck: found nothing, wanted it beside [rider]: write [deck] with its height_mm"},
    {"deck_too_steep.toml", "42:13: deck.angle_deg: found 60, wanted a number from -45 to 45"},
    {"deck_without_rider.toml", "36:1: deck: found it without [rider], wanted it beside [rider] only: all of "
                                "them say what the foil carries"},
    {"density_in_g_cm3.toml", "4:17: water.density_kg_m3: found 0.998, wanted a number from 900 to 1300"},
    {"density_not_finite.toml",
     "4:17: water.density_kg_m3: found no finite number, wanted a number from 900 to 1300"},
    {"depth_above_the_water.toml", "5:12: water.depth_mm: found -600, wanted a number from 0.001 to 1000000"},
    {"displaced_is_text.toml", "14:13: lattice.displaced: found \"no\", wanted true or false"},
    {"drag_table_drag_is_zero.toml",
     "26:68: section.centre.drag_table[4].drag_coefficient: found 0, wanted a number from 1e-05 to 10"},
    {"drag_table_drag_missing.toml",
     "26:3: section.centre.drag_table[4].drag_coefficient: found nothing, wanted a number from 1e-05 to 10"},
    {"drag_table_empty.toml", "22:14: section.centre.drag_table: found an array of 0, wanted an array of 1 "
                              "to 1000 tables, one for each point of the grid"},
    {"drag_table_not_a_full_grid.toml",
     "22:14: section.centre.drag_table: found no entry for lift_coefficient = 0.6, reynolds = 1000000, "
     "wanted a full grid: every lift coefficient at every Reynolds number"},
    {"drag_table_pair_twice.toml", "27:3: section.centre.drag_table[5]: found lift_coefficient = 0, reynolds "
                                   "= 1000000 a second time, wanted each pair once"},
    {"drag_table_reynolds_in_millions.toml",
     "23:38: section.centre.drag_table[1].reynolds: found 0.3, wanted a number from 1000 to 1000000000"},
    {"drive_force_beside_power.toml",
     "47:20: drive.greatest_power_w: found it beside greatest_force_n, wanted one of the two"},
    {"drive_motor_off_the_centre_plane.toml",
     "45:15: drive.position_mm: found y = 30, wanted 0, for a craft is trimmed in its plane of symmetry"},
    {"drive_motor_with_the_station_of_a_pull.toml",
     "46:14: drive.station_mm: found it with kind = \"motor\", wanted it with kind = \"pull\" only"},
    {"drive_of_no_kind.toml",
     "43:1: drive.kind: found nothing, wanted one of \"coasting\", \"wave\", \"pull\", \"motor\""},
    {"drive_pull_from_behind.toml", "46:13: drive.angle_deg: found 120, wanted a number from -89 to 89"},
    {"drive_pull_height_missing.toml",
     "43:1: drive.height_mm: found nothing, wanted a number from -1000000 to 1000000"},
    {"drive_pull_with_the_position_of_a_motor.toml",
     "46:15: drive.position_mm: found it with kind = \"pull\", wanted it with kind = \"motor\" only"},
    {"drive_unknown.toml",
     "44:8: drive.kind: found \"tow\", wanted one of \"coasting\", \"wave\", \"pull\", \"motor\""},
    {"drive_wave_of_limited_force.toml", "45:20: drive.greatest_force_n: found it with kind = \"wave\", "
                                         "wanted it with kind = \"pull\" or \"motor\" only"},
    {"drive_without_rider.toml", "36:1: drive: found it without [rider], wanted it beside [rider] only: all "
                                 "of them say what the foil carries"},
    {"friction_line_unknown.toml", "14:17: drag.friction_line: found \"ITTC 57\", wanted one of \"ITTC "
                                   "1957\", \"flat plate\" (nearest: \"ITTC 1957\")"},
    {"fuselage_around_not_in_quarters.toml", "47:10: fuselage.around: found 10, wanted a multiple of 4"},
    {"fuselage_corner_on_an_ellipse.toml",
     "47:13: fuselage.corner_mm: found it on an ellipse, wanted it with shape = \"rounded rectangle\" only"},
    {"fuselage_corner_too_large.toml",
     "48:13: fuselage.corner_mm: found 15, wanted at most 14, half of the smaller of width and height"},
    {"fuselage_cut_without_width.toml",
     "47:3: fuselage.cuts[3].width_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"fuselage_cuts_beside_length.toml",
     "50:1: fuselage.length_mm: found a key not known here, wanted one of shape, cuts, rings, around"},
    {"fuselage_cuts_open_at_the_tail.toml", "48:28: fuselage.cuts[4].width_mm: found 6, wanted 0 at the "
                                            "first and the last cut, where the body closes to a point"},
    {"fuselage_cuts_out_of_order.toml", "47:12: fuselage.cuts[3].x_mm: found 20, wanted at least 0.001 more "
                                        "than that of the cut before, in order from the nose aft"},
    {"fuselage_cuts_too_few.toml",
     "44:8: fuselage.cuts: found an array of 2, wanted an array of 3 to 1000 tables, one for each cut"},
    {"fuselage_ends_too_long.toml",
     "44:13: fuselage.length_mm: found 740, wanted at least 800, a nose of 300 and a tail of 500: make it "
     "longer, or write nose_length_mm and tail_length_mm"},
    {"fuselage_hides_the_stabilizer.toml",
     " surface 'stabilizer' lies inside the fuselage from tip to tip, wanted one that leaves it: make its "
     "span longer, the fuselage slimmer, or leave the surface out"},
    {"fuselage_length_missing.toml",
     "42:1: fuselage.length_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"fuselage_shape_unknown.toml",
     "47:9: fuselage.shape: found \"rectangle\", wanted one of \"ellipse\", \"rounded rectangle\""},
    {"fuselage_thinner_than_the_wing.toml",
     " surface 'front wing' is 17.7984 mm thick where it meets the fuselage, at y = -14 mm, z = 0 mm, x = "
     "20.672 to 168.992 mm, but the fuselage is 15 mm high over the middle of that chord, at x = 94.832 mm: "
     "wanted a fuselage at least 17.7984 mm high there, or a thinner section"},
    {"incidence_too_large.toml", "30:17: surface[1].incidence_deg: found 90, wanted a number from -45 to 45"},
    {"key_of_many_names.toml", "14:20: found a key of more than 4 names joined by dots, wanted fewer"},
    {"mass_beside_lift_coefficient.toml",
     "12:20: operation.lift_coefficient: found it beside mass_kg, wanted one of the two"},
    {"mass_beside_rider.toml", "11:11: operation.mass_kg: found it beside [rider], wanted one of the two: "
                               "the masses give what the lift carries"},
    {"mass_name_twice.toml",
     "46:8: mass[2].name: found \"board\", wanted a name of its own, for mass[1] has this one"},
    {"mass_not_an_array.toml",
     "40:1: mass: found a table, wanted an array of 1 to 100 tables: write [[mass]]"},
    {"mass_off_the_centre_plane.toml",
     "43:13: mass[1].centre_mm: found y = 20, wanted 0, for a craft is trimmed in its plane of symmetry"},
    {"mass_volume_negative.toml",
     "44:24: mass[1].displaced_volume_cm3: found -90, wanted a number from 0 to 1000000000"},
    {"mass_without_rider.toml", "36:1: mass: found it without [rider], wanted it beside [rider] only: all of "
                                "them say what the foil carries"},
    {"mast_length_missing.toml",
     "42:1: mast.length_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"mast_named_as_a_surface.toml",
     "48:8: mast.name: found \"stabilizer\", wanted a name of its own, for surface[2] has this one"},
    {"mast_off_the_centre_plane.toml",
     "43:15: mast.position_mm: found y = 3, wanted 0, for a mast stands in the centre plane"},
    {"mast_on_the_wing_without_fuselage.toml",
     " surfaces 'front wing' and 'mast' cross or touch at y = 0 mm, z = 0 mm, x = 40 to 160 mm: move one of "
     "them, or let a mast meet other surfaces inside a fuselage"},
    {"mast_position_missing.toml",
     "42:1: mast.position_mm: found nothing, wanted an array of 3 numbers, x, y and z"},
    {"mast_section_unknown.toml", "47:11: mast.section: found \"mast\", wanted one of \"centre\", \"tip\""},
    {"mast_stations_beside_chord.toml", "49:1: mast.chord_mm: found a key not known here, wanted one of "
                                        "name, position_mm, strips, panels_per_strip, stations"},
    {"mast_stations_out_of_order.toml",
     "47:17: mast.stations[3].height_mm: found 400, wanted at least 0.001 more than that of the station "
     "before, in order from the foot upward"},
    {"mirror_off_the_centre_plane.toml",
     "26:1: surface[1]: surface 'front wing', station 1: found it at y = 5 mm of the craft, wanted the first "
     "station on the centre plane y = 0, where the halves meet"},
    {"mirror_to_port.toml", "26:1: surface[1]: surface 'front wing', station 2: found it at y = -250 mm of "
                            "the craft, wanted y > 0 behind the first station: give the starboard half"},
    {"moment_point_of_two_numbers.toml",
     "7:19: reference.moment_point_mm: found an array of 2, wanted an array of 3 numbers, x, y and z"},
    {"panels_none.toml", "15:20: lattice.panels_per_strip: found 0, wanted a whole number from 1 to 200"},
    {"panels_too_many_in_all.toml",
     "26:1: surface[1]: found 270000 panels in all, as many unknowns and a matrix of 583200000000 bytes, "
     "wanted at most 50000: lower strips or panels_per_strip"},
    {"reference_missing_with_two_surfaces.toml",
     "6:1: reference.surface: found nothing, wanted one of \"front wing\", \"stabilizer\""},
    {"reference_unknown.toml", "7:11: reference.surface: found \"front wings\", wanted one of \"front "
                               "wing\", \"stabilizer\" (nearest: \"front wing\")"},
    {"rider_centre_in_metres.toml",
     "38:20: rider.centre_height_mm: found 0.95, wanted a number from 10 to 10000"},
    {"rider_key_unknown.toml", "39:1: rider.height_mm: found a key not known here, wanted one of mass_kg, "
                               "centre_height_mm, pitch_inertia_kg_m2"},
    {"rider_mass_missing.toml", "36:1: rider.mass_kg: found nothing, wanted a number from 0.001 to 100000"},
    {"rider_on_a_craft_that_floats.toml",
     "36:1: rider: mass carried, less the water displaced [kg]: found -32.784, wanted one above 0: it "
     "floats, so there is nothing to lift"},
    {"salinity_in_fresh_water.toml",
     "4:17: water.salinity_g_kg: found it with fresh water, wanted it beside kind = \"sea\" only"},
    {"salinity_in_parts_of_one_million.toml",
     "5:17: water.salinity_g_kg: found 35165.04, wanted a number from 0 to 42"},
    {"section_camber_missing.toml",
     "22:1: section.tip.camber_percent: found nothing, wanted a number from -50 to 50"},
    {"section_camber_position_at_the_edge.toml",
     "25:27: section.tip.camber_position_percent: found 100, wanted a number from 1 to 99"},
    {"section_key_of_another_kind.toml",
     "22:1: section.centre.thickness_percent: found a key not known here, wanted one of naca, "
     "max_lift_coefficient, drag_table"},
    {"section_max_lift_is_zero.toml",
     "14:24: section.centre.max_lift_coefficient: found 0, wanted a number from 0.1 to 5"},
    {"section_naca_unknown.toml",
     "21:8: section.centre.naca: found NACA section '99', wanted four digits (2412; 0012 if without camber) "
     "or five with second and third digit 10, 20, 30, 40, 50, 21, 31, 41 or 51 (23012, 23112)"},
    {"section_not_a_table.toml", "21:10: section.centre: found \"2412\", wanted a table"},
    {"section_of_no_kind.toml",
     "20:1: section.centre: found nothing, wanted one of naca, contour, mean_line"},
    {"section_of_two_kinds.toml",
     "20:1: section.centre: found naca beside mean_line, wanted one of naca, contour, mean_line"},
    {"section_uniform_load_to_the_trailing_edge.toml",
     "23:22: section.centre.uniform_to_percent: found 100, wanted at most 95, for at 100 the slope is "
     "infinite at the trailing edge"},
    {"spacing_unknown.toml",
     "16:11: lattice.spacing: found \"cosine\", wanted one of \"semicircle\", \"uniform\""},
    {"speed_is_text.toml", "10:13: operation.speed_m_s: found \"5.5\", wanted a number from 0.01 to 100"},
    {"speed_is_zero.toml", "10:13: operation.speed_m_s: found 0, wanted a number from 0.01 to 100"},
    {"stance_back_to_front.toml",
     "44:12: stance.front_mm: found 150, wanted less than back_mm, for stations count aft"},
    {"stance_without_rider.toml", "36:1: stance: found it without [rider], wanted it beside [rider] only: "
                                  "all of them say what the foil carries"},
    {"station_chord_missing.toml",
     "33:3: surface[1].stations[3].chord_mm: found nothing, wanted a number from 0.001 to 1000000"},
    {"station_chord_negative.toml",
     "33:50: surface[1].stations[3].chord_mm: found -60, wanted a number from 0.001 to 1000000"},
    {"station_place_infinite.toml",
     "33:12: surface[1].stations[3].y_mm: found no finite number, wanted a number from -1000000 to 1000000"},
    {"station_section_unknown.toml", "31:62: surface[1].stations[1].section: found \"center\", wanted one of "
                                     "\"centre\", \"tip\" (nearest: \"centre\")"},
    {"stations_hold_a_number.toml", "40:3: surface[2].stations[1]: found -200, wanted a table"},
    {"stations_in_one_place.toml", "33:3: surface[1].stations[3]: found the y_mm and z_mm of the station "
                                   "before, wanted stations apart in the front view"},
    {"stations_missing.toml",
     "36:1: surface[2].stations: found nothing, wanted an array of 2 to 1000 tables, one for each station"},
    {"stations_only_one.toml", "39:12: surface[2].stations: found an array of 1, wanted an array of 2 to "
                               "1000 tables, one for each station"},
    {"stations_out_of_order.toml", "33:3: surface[1].stations[3]: found a turn back at the station before, "
                                   "wanted stations in order along the span"},
    {"strips_not_whole.toml", "14:10: lattice.strips: found 20.0, wanted a whole number from 1 to 1000"},
    {"strips_too_many.toml", "14:10: lattice.strips: found 1000000, wanted a whole number from 1 to 1000"},
    {"surface_missing.toml",
     "1:1: surface: found nothing, wanted an array of 1 to 100 tables: write [[surface]]"},
    {"surface_name_missing.toml",
     "26:1: surface[1].name: found nothing, wanted a text of one line in quotes, 1 to 40 bytes"},
    {"surface_name_twice.toml",
     "37:8: surface[2].name: found \"front wing\", wanted a name of its own, for surface[1] has this one"},
    {"surface_not_an_array.toml",
     "26:1: surface: found a table, wanted an array of 1 to 100 tables: write [[surface]]"},
    {"surfaces_cross.toml",
     " surfaces 'front wing' and 'stabilizer' cross or touch at y = -100 mm, z = 0 mm, x = 80 to 150 mm: "
     "move one of them, or make their ends meet exactly so that they join"},
    {"syntax_decimal_comma.toml",
     "4:20: not TOML 1.0: Error while parsing key-value pair: expected a comment or whitespace, saw ','"},
    {"syntax_key_twice.toml", "11:13: not TOML 1.0: Error while parsing key-value pair: cannot redefine "
                              "existing floating-point 'speed_m_s'"},
    {"syntax_station_over_two_lines.toml",
     "31:14: not TOML 1.0: Error while parsing inline table: expected key or closing '}', saw '\\n'"},
    {"syntax_unclosed_text.toml", "1:19: not TOML 1.0: Error while parsing string: unescaped control "
                                  "characters other than TAB (U+0009) are explicitly prohibited"},
    {"temperature_in_kelvin.toml", "4:17: water.temperature_c: found 288.15, wanted a number from 0 to 30"},
    {"title_missing.toml", "1:1: title: found nothing, wanted a text of one line in quotes, 1 to 100 bytes"},
    {"title_of_two_lines.toml",
     "1:9: title: found \"Heron\\x0a880\", wanted a text of one line in quotes, 1 to 100 bytes"},
    {"transition_beyond_the_trailing_edge.toml",
     "14:22: drag.transition_percent: found 120, wanted a number from 0 to 100"},
    {"transition_without_unit.toml",
     "14:1: drag.transition: found a key not known here, wanted one of friction_line, transition_percent "
     "(nearest: transition_percent)"},
    {"twist_shape_ends_before_the_tip.toml",
     "46:12: twist_shape[1].fraction: found 0.9 at the end, wanted 1, the tip"},
    {"twist_shape_falls_back.toml",
     "46:21: twist_shape[1].fraction[3]: found 0.5, wanted at least 1e-06 more than the fraction before"},
    {"twist_shape_name_twice.toml",
     "50:8: twist_shape[2].name: found \"late\", wanted a name of its own, for twist_shape[1] has this one"},
    {"twist_shape_named_linear.toml",
     "45:8: twist_shape[1].name: found \"linear\", wanted another name, for this shape is built in"},
    {"twist_shape_starts_off_the_root.toml",
     "46:13: twist_shape[1].fraction[1]: found 0.1, wanted 0, the root, as the first fraction"},
    {"twist_shape_values_too_few.toml",
     "47:9: twist_shape[1].value: found an array of 2, wanted an array of 3 numbers, one for each fraction"},
    {"unknown_key_far_from_any.toml", "3:1: colour: found a key not known here, wanted one of title, water, "
                                      "reference, operation, rider, mass, deck, stance, drive, drag, "
                                      "lattice, section, surface, fuselage, mast, twist_shape"},
    {"unknown_key_in_station.toml",
     "33:54: surface[1].stations[3].twist: found a key not known here, wanted one of y_mm, z_mm, "
     "leading_edge_mm, chord_mm, twist_deg, section (nearest: twist_deg)"},
    {"unknown_key_in_surface.toml",
     "29:1: surface[1].mirrored: found a key not known here, wanted one of name, position_mm, incidence_deg, "
     "mirror, curve, area_cm2, span_mm, strips, panels_per_strip, stations (nearest: mirror)"},
    {"unknown_table.toml", "9:2: operations: found a key not known here, wanted one of title, water, "
                           "reference, operation, rider, mass, deck, stance, drive, drag, "
                           "lattice, section, surface, fuselage, mast, twist_shape (nearest: operation)"},
    {"vapour_pressure_in_kilopascal.toml",
     "5:22: water.vapour_pressure_pa: found 2.34, wanted a number from 100 to 100000"},
    {"viscosity_in_mm2_s.toml",
     "5:28: water.kinematic_viscosity_m2_s: found 1.0034, wanted a number from 1e-07 to 1e-05"},
    {"wake_angle_with_body_wake.toml",
     "18:18: lattice.wake_angle_deg: found it beside wake = \"body\", wanted it with wake = \"stream\" only"},
    {"water_of_no_kind.toml",
     "4:8: water.kind: found \"salt\", wanted one of \"fresh\", \"sea\" (nearest: \"sea\")"},
};

TEST(WrongCase, EachIsRefusedWithItsLine) {
  for (const auto& [name, message] : expected_errors) {
    const std::string prefix = message.rfind("contour_", 0) == 0 ? "" : name + ":";
    EXPECT_EQ(error_of(cases / "bad" / name), prefix + message);
  }
}

TEST(WrongCase, NoneIsLeftOut) {
  for (const auto& entry : std::filesystem::directory_iterator(cases / "bad")) {
    if (entry.path().extension() == ".toml") {
      EXPECT_TRUE(expected_errors.contains(entry.path().filename().string())) << entry.path();
    }
  }
}

} // namespace
} // namespace vlm
