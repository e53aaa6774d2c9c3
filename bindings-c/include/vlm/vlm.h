/**
 * \file
 * The C interface of libvlm: read or build a case, solve it, query it, run studies, write records.
 *
 * All is SI and radians. Geometry axes: x aft, y to starboard, z up, from where the mast axis meets the
 * fuselage axis. Moments and rates: roll positive starboard down, pitch nose up, yaw nose to starboard.
 *
 * Every function but vlm_version, vlm_status_text and vlm_message returns a vlm_status and changes nothing
 * that the caller sees if that is an error, but for results that it sets to null or to nothing. No exception
 * leaves a function. After an error vlm_message says what was wrong and what to write instead.
 *
 * Arrays are the caller's. Their length is passed with them and must be exactly what the function fills or
 * reads: ask the function that tells the number first. Text that is handed out belongs to the handle it was
 * asked of, and lasts until that handle is changed or freed. Text is UTF-8.
 *
 * A handle may be used by one thread at a time. Of a solution, a polar, a twist study or a trim, and of a
 * case that nobody changes, several threads may read at once.
 */
#ifndef VLM_VLM_H
#define VLM_VLM_H

#include <stddef.h>

#define VLM_VERSION_MAJOR 0 /**< of the library whose header this is */
#define VLM_VERSION_MINOR 1 /**< likewise */
#define VLM_VERSION_PATCH 0 /**< likewise */
/** Rises when a program that was compiled with an older header must be compiled anew; the soname has it. */
#define VLM_ABI 2

#if defined(__GNUC__)
#define VLM_API __attribute__((visibility("default"))) /**< what the shared library shows */
#else
#define VLM_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

/** Every status, its number and its text. */
#define VLM_STATUS_LIST(STATUS)                                                                              \
  STATUS(VLM_OK, 0, "done")                                                                                  \
  STATUS(VLM_CANCELLED, 1, "cancelled by the progress callback; what was finished is there")                 \
  STATUS(VLM_ERROR_NULL, 2, "a pointer that must not be null is null")                                       \
  STATUS(VLM_ERROR_LENGTH, 3, "an array has another length than what it is for")                             \
  STATUS(VLM_ERROR_ARGUMENT, 4, "an argument is out of its range")                                           \
  STATUS(VLM_ERROR_INPUT, 5, "the case, the craft or the study is wrong")                                    \
  STATUS(VLM_ERROR_RUN, 6, "a file could not be written, or a figure came out that is not finite")           \
  STATUS(VLM_ERROR_MEMORY, 7, "out of memory")                                                               \
  STATUS(VLM_ERROR_INTERNAL, 8, "a defect of the library")

/** What became of a call. */
typedef enum vlm_status {
#define VLM_STATUS_CONSTANT(name, number, text) name = number, /**< see VLM_STATUS_LIST */
  VLM_STATUS_LIST(VLM_STATUS_CONSTANT)
#undef VLM_STATUS_CONSTANT
} vlm_status;

/** Text of a status, as in VLM_STATUS_LIST; for a number that is none, a text that says so. Never null. */
VLM_API const char* vlm_status_text(int status);

/** What the last call on this thread found wrong: where, what, and what to write instead. "" after VLM_OK.
 * Lasts until the next call on this thread, and is cut at 2000 characters. Never null. */
VLM_API const char* vlm_message(void);

/** Version of the library in use, "MAJOR.MINOR.PATCH"; the macros tell that of the header. Never null. */
VLM_API const char* vlm_version(void);

/** A figure that may be undefined: where it is, defined is 0 and value too. */
typedef struct vlm_figure {
  double value; /**< 0 if undefined */
  int defined;  /**< 1 or 0 */
} vlm_figure;

/** A place in a list that there may not be. */
typedef struct vlm_place {
  size_t index; /**< 0 if undefined */
  int defined;  /**< 1 or 0 */
} vlm_place;

/* ---- The case: a craft, and what goes with it ---- */

/** A craft with its water, lattice, wake, condition and load: all that a case file says. */
typedef struct vlm_case vlm_case;

/** Reads a case file (docs/case.md). VLM_ERROR_INPUT for one that is wrong, with file, line and column. */
VLM_API vlm_status vlm_case_read(const char* path, vlm_case** result);

/** The same from text in memory, length bytes. path: what messages and records call it; files of sections are
 * looked for beside it. */
VLM_API vlm_status vlm_case_parse(const char* text, size_t length, const char* path, vlm_case** result);

/** A case to be built: no surface yet, fresh water of 20 °C without bounds. */
VLM_API vlm_status vlm_case_new(const char* title, vlm_case** result);

/** A copy that shares nothing with the case. */
VLM_API vlm_status vlm_case_copy(const vlm_case* original, vlm_case** result);

/** Frees a case and sets the pointer to null; a second time does nothing. VLM_ERROR_NULL for a null address.
 */
VLM_API vlm_status vlm_case_free(vlm_case** handle);

/** Number of things that reading changed or assumed, for the user. */
VLM_API vlm_status vlm_case_num_notes(const vlm_case* handle, size_t* count);

/** One of them, a sentence. */
VLM_API vlm_status vlm_case_note(const vlm_case* handle, size_t index, const char** text);

/* -- Sections, for stations of surfaces added after them -- */

/** Section of a four- or five-digit NACA designation. section: its number, for vlm_station. */
VLM_API vlm_status vlm_case_add_naca_section(vlm_case* handle, const char* digits, size_t* section);

/** Mean line of two parabolic arcs. camber: greatest height over chord; position: its place, 0 to 1;
 * thickness: greatest, over chord. */
VLM_API vlm_status vlm_case_add_parabolic_section(vlm_case* handle, const char* name, double camber,
                                                  double position, double thickness, size_t* section);

/** Mean line of uniform load to x = a, 0 ≤ a < 1, falling to none at the trailing edge (Abbott & von
 * Doenhoff, chapter 4). design_lift: lift coefficient at the ideal angle. */
VLM_API vlm_status vlm_case_add_uniform_load_section(vlm_case* handle, const char* name, double design_lift,
                                                     double a, double thickness, size_t* section);

/** Mean line of heights z at places x, both over the chord and count long, x rising from 0 to 1. */
VLM_API vlm_status vlm_case_add_sampled_section(vlm_case* handle, const char* name, const double* x,
                                                const double* z, size_t count, double thickness,
                                                size_t* section);

/** Section from the points of a contour in order around it from trailing edge to trailing edge, count long,
 * any unit and angle. */
VLM_API vlm_status vlm_case_add_contour_section(vlm_case* handle, const char* name, const double* x,
                                                const double* z, size_t count, size_t* section);

/** Greatest lift coefficient of a section, above 0: it tells take-off. For surfaces added afterwards. */
VLM_API vlm_status vlm_case_set_section_max_lift(vlm_case* handle, size_t section, double lift_coefficient);

/** Drag of a section as measured: drag_coefficient at each lift coefficient (rising) and Reynolds number
 * (rising), [lift coefficients × Reynolds numbers]. For surfaces added afterwards. */
VLM_API vlm_status vlm_case_set_section_drag(vlm_case* handle, size_t section, const double* lift_coefficient,
                                             size_t num_lift_coefficients, const double* reynolds,
                                             size_t num_reynolds, const double* drag_coefficient,
                                             size_t num_drag_coefficients);

/* -- Surfaces and fuselage -- */

/** How outline, rise, twist and camber run between stations. */
enum {
  VLM_CURVE_STRAIGHT = 0, /**< along straight lines */
  VLM_CURVE_SMOOTH = 1    /**< along shape-preserving cubics */
};

/** A spanwise cut of a surface, from the surface's own position. */
typedef struct vlm_station {
  double y, z;         /**< place in the front view [m] */
  double leading_edge; /**< x of the leading edge [m] */
  double chord;        /**< [m] */
  double twist;        /**< [rad], nose-up positive */
  size_t section;      /**< number of a section of the case */
} vlm_station;

/** A lifting surface or the mast. */
typedef struct vlm_surface {
  const char* name;     /**< another than those there are */
  double position[3];   /**< of the stations' zero [m] */
  double incidence;     /**< [rad], nose-up positive */
  int curve;            /**< VLM_CURVE_STRAIGHT or VLM_CURVE_SMOOTH */
  int half;             /**< 1: the stations run from y = 0 to the starboard tip, and are mirrored; else 0 */
  int mast;             /**< 1: the last station stands above the still surface, which cuts it off; else 0 */
  int strips;           /**< over the whole surface; 0: 20 */
  int panels_per_strip; /**< along the chord; 0: 8 */
} vlm_surface;

/** Adds a surface of stations in order along the span, count long, two or more. The first one becomes the
 * reference. */
VLM_API vlm_status vlm_case_add_surface(vlm_case* handle, const vlm_surface* surface,
                                        const vlm_station* stations, size_t count);

/** Stretches a surface to a projected area [m²], a projected span [m] or both; null for what is free. One
 * alone scales all lengths alike. */
VLM_API vlm_status vlm_case_stretch_surface(vlm_case* handle, size_t surface, const double* area,
                                            const double* span);

/** Sets the incidence of a surface [rad]. */
VLM_API vlm_status vlm_case_set_incidence(vlm_case* handle, size_t surface, double incidence);

/** Number of surfaces. */
VLM_API vlm_status vlm_case_num_surfaces(const vlm_case* handle, size_t* count);

/** Name of a surface. */
VLM_API vlm_status vlm_case_surface_name(const vlm_case* handle, size_t surface, const char** name);

/** Number of the surface of that name. VLM_ERROR_INPUT, naming those there are, if there is none. */
VLM_API vlm_status vlm_case_find_surface(const vlm_case* handle, const char* name, size_t* surface);

/** Size of a surface, projected on the plane that it mostly lies in. */
typedef struct vlm_outline {
  double area;                       /**< [m²] */
  double span;                       /**< [m], tip to tip */
  double aspect_ratio;               /**< span²/area */
  double mean_chord;                 /**< mean aerodynamic chord [m] */
  double mean_chord_leading_edge[3]; /**< [m] */
  double developed_area;             /**< [m²], along the front-view curve */
} vlm_outline;

/** Size of a surface. */
VLM_API vlm_status vlm_case_outline(const vlm_case* handle, size_t surface, vlm_outline* outline);

/** Shape of the cuts of a fuselage. */
enum {
  VLM_CUT_ELLIPTICAL = 0,       /**< as wide as high: round */
  VLM_CUT_ROUNDED_RECTANGLE = 1 /**< with corners of a radius */
};

/** Shape of an end of a fuselage, t from 0 at full size to 1 at the point. */
enum {
  VLM_END_ELLIPSE = 0,  /**< √(1 − t²) */
  VLM_END_PARABOLA = 1, /**< 1 − t² */
  VLM_END_CONE = 2      /**< 1 − t */
};

/** A cut of a fuselage across x [m]. */
typedef struct vlm_fuselage_cut {
  double x;             /**< rising from cut to cut */
  double width, height; /**< 0 at the first and last cut, above 0 between */
  double centre;        /**< z of the middle */
  double corner;        /**< radius; rounded rectangles only */
} vlm_fuselage_cut;

/** A fuselage given by its greatest cut and two ends [m]. */
typedef struct vlm_fuselage_size {
  double nose;                     /**< x of the foremost point */
  double centre;                   /**< z of the axis */
  double length;                   /**< of the whole */
  double width, height;            /**< greatest */
  double corner;                   /**< radius; rounded rectangles only */
  int nose_shape, tail_shape;      /**< VLM_END_ELLIPSE, VLM_END_PARABOLA or VLM_END_CONE */
  double nose_length, tail_length; /**< above 0, together at most the length */
} vlm_fuselage_size;

/** Gives the craft a fuselage of cuts, count long, three or more, in place of one that it has. */
VLM_API vlm_status vlm_case_set_fuselage_cuts(vlm_case* handle, int cut_shape, const vlm_fuselage_cut* cuts,
                                              size_t count);

/** Likewise one given by its size. */
VLM_API vlm_status vlm_case_set_fuselage_size(vlm_case* handle, int cut_shape, const vlm_fuselage_size* size);

/** Panels of the fuselage's shell: rings along it, 4 or more, by panels around it, a multiple of 4. By itself
 * 24 by 12. */
VLM_API vlm_status vlm_case_set_fuselage_panels(vlm_case* handle, int rings, int around);

/* -- Reference, water, condition -- */

/** What makes coefficients of forces and moments. */
typedef struct vlm_reference {
  double area;  /**< [m²] */
  double chord; /**< mean aerodynamic chord [m] */
  double span;  /**< [m] */
} vlm_reference;

/** Chooses the surface whose size makes the coefficients. */
VLM_API vlm_status vlm_case_set_reference(vlm_case* handle, size_t surface);

/** Size of the reference surface. */
VLM_API vlm_status vlm_case_reference(const vlm_case* handle, vlm_reference* reference);

/** Sets the point of moments and rates, x, y, z [m]; by itself the origin. */
VLM_API vlm_status vlm_case_set_moment_point(vlm_case* handle, const double* point);

/** Fresh water of a temperature [°C], 0 to 30. */
VLM_API vlm_status vlm_case_set_fresh_water(vlm_case* handle, double temperature);

/** Sea water of a temperature [°C], 0 to 30, and an absolute salinity [g/kg], 0 to 42. */
VLM_API vlm_status vlm_case_set_sea_water(vlm_case* handle, double temperature, double salinity);

/** Figures in place of those of the water chosen. */
typedef struct vlm_water {
  double density;             /**< [kg/m³] */
  double kinematic_viscosity; /**< [m²/s] */
  double vapour_pressure;     /**< [Pa], absolute */
} vlm_water;

/** Puts figures in place of those of the water; all above 0. */
VLM_API vlm_status vlm_case_set_water(vlm_case* handle, const vlm_water* water);

/** Density, viscosity and vapour pressure of the case's water. */
VLM_API vlm_status vlm_case_water(const vlm_case* handle, vlm_water* water);

/** Plane that bounds the water near the craft. */
enum {
  VLM_BOUNDARY_NONE = 0, /**< deep above and below */
  VLM_BOUNDARY_FREE = 1, /**< the still surface above, at high Froude number */
  VLM_BOUNDARY_WALL = 2  /**< a wall below */
};

/** How the craft rides by it. */
typedef struct vlm_still_surface {
  int boundary;         /**< VLM_BOUNDARY_... */
  vlm_figure depth;     /**< of the origin below the still surface [m]; needed with a free one or a mast */
  vlm_figure clearance; /**< of the origin above the wall [m]; needed with one */
  double bank;          /**< roll angle [rad], starboard down positive */
} vlm_still_surface;

/** Places the craft by the still surface or a wall. */
VLM_API vlm_status vlm_case_set_still_surface(vlm_case* handle, const vlm_still_surface* surface);

/** Condition that studies are made at. */
typedef struct vlm_operation {
  vlm_figure speed;            /**< [m/s] */
  vlm_figure mass;             /**< carried by the lift [kg] */
  vlm_figure lift_coefficient; /**< in place of mass and speed */
} vlm_operation;

/** Sets the condition; mass and lift coefficient exclude each other. */
VLM_API vlm_status vlm_case_set_operation(vlm_case* handle, const vlm_operation* operation);

/** The condition, as read or set. */
VLM_API vlm_status vlm_case_operation(const vlm_case* handle, vlm_operation* operation);

/** Lift coefficient of the condition: as given, or weight over dynamic pressure and reference area.
 * VLM_ERROR_INPUT if the condition lacks something for it. */
VLM_API vlm_status vlm_case_lift_coefficient(const vlm_case* handle, double* lift_coefficient);

/** Sets needed to 1 if the image of a free still surface does not hold at a speed [m/s], the depth Froude
 * number V/√(g·depth) being below 3, else to 0. Figures of the case at that speed are then to be taken
 * with care; without the image they are those of the same case without boundary, as
 * vlm_polar_forces_without_image has them. */
VLM_API vlm_status vlm_case_needs_bracket(const vlm_case* handle, double speed, int* needed);

/** How the wake leaves the trailing edges. */
enum {
  VLM_WAKE_STREAM = 0, /**< along the stream at an angle of attack */
  VLM_WAKE_BODY = 1    /**< along the x axis */
};

/** Sets how studies lay the wake. angle [rad]: of that stream, null for the operating angle of each; null
 * with VLM_WAKE_BODY. */
VLM_API vlm_status vlm_case_set_wake(vlm_case* handle, int along, const double* angle);

/** Line of turbulent friction. */
enum {
  VLM_FRICTION_ITTC_1957 = 0, /**< ITTC 1957 */
  VLM_FRICTION_FLAT_PLATE = 1 /**< Prandtl and Schlichting 1932 */
};

/** Sets how friction is found. transition: laminar part of the chord, 0 to 1. */
VLM_API vlm_status vlm_case_set_friction(vlm_case* handle, int line, double transition);

/** Adds a spanwise shape of twist for studies: values at fractions of the semispan, both count long, the
 * fractions rising from 0 at the root to 1 at the tips. curve: VLM_CURVE_... */
VLM_API vlm_status vlm_case_add_twist_shape(vlm_case* handle, const char* name, const double* fraction,
                                            const double* value, size_t count, int curve);

/* -- What the foil carries -- */

/** Who stands on the deck. */
typedef struct vlm_rider {
  double mass;          /**< [kg] */
  double centre_height; /**< of the centre of mass over the deck [m] */
  double pitch_inertia; /**< about it [kg·m²] */
} vlm_rider;

/** The deck, a plane across the plane of symmetry. */
typedef struct vlm_deck {
  double height;    /**< over the origin, where the mast axis meets it [m] */
  double angle;     /**< to the x axis [rad], nose-up positive */
  double mast_rake; /**< of the mast axis to the z axis [rad], top aft positive */
} vlm_deck;

/** Where the feet stand, along the deck aft of the mast axis [m]. */
typedef struct vlm_stance {
  double front; /**< ahead of back */
  double back;  /**< foot */
} vlm_stance;

/** A thing that rides along. */
typedef struct vlm_mass {
  const char* name;        /**< of the thing */
  double mass;             /**< [kg] */
  double centre[3];        /**< [m] */
  double displaced_volume; /**< of water while riding [m³] */
  double pitch_inertia;    /**< about its own centre [kg·m²] */
} vlm_mass;

/** What keeps the craft going. */
enum {
  VLM_DRIVE_COASTING = 0, /**< nothing */
  VLM_DRIVE_WAVE = 1,     /**< the face of a wave */
  VLM_DRIVE_PULL = 2,     /**< a line, from ahead */
  VLM_DRIVE_MOTOR = 3     /**< a propeller or jet on the fuselage */
};

/** A drive. */
typedef struct vlm_drive {
  int kind;                  /**< VLM_DRIVE_... */
  double angle;              /**< pull: over the direction of travel; motor: nose-up, to the x axis [rad] */
  double height;             /**< of a pull over the deck [m] */
  vlm_figure station;        /**< of a pull made fast to the board [m]; undefined: the rider holds it */
  double position[3];        /**< of a motor [m] */
  vlm_figure greatest_force; /**< [N] */
  vlm_figure greatest_power; /**< [W] */
} vlm_drive;

/** Sets what the foil carries; the condition's mass then follows from it. stance may be null, and masses if
 * count is 0. */
VLM_API vlm_status vlm_case_set_loading(vlm_case* handle, const vlm_rider* rider, const vlm_deck* deck,
                                        const vlm_drive* drive, const vlm_stance* stance,
                                        const vlm_mass* masses, size_t count);

/* ---- The solution: one craft, factorised and solved once ---- */

/** A craft solved for a wake: any condition is then a superposition. */
typedef struct vlm_solution vlm_solution;

/** Motions that a solution is made for. */
enum {
  VLM_MOTIONS_IN_PLANE = 0, /**< angle of attack */
  VLM_MOTIONS_ALL = 1       /**< sideslip and rates as well */
};

/** How the stream meets a craft. */
typedef struct vlm_condition {
  double alpha;                           /**< angle of attack [rad], nose-up positive */
  double beta;                            /**< sideslip [rad], positive when water comes from starboard */
  double roll_rate, pitch_rate, yaw_rate; /**< p b/2V, q c/2V, r b/2V of the reference's span b and chord c */
} vlm_condition;

/** Angle of attack at which the craft lifts a coefficient with its wake along that very stream [rad], or as
 * the case chooses the wake. num_threads: 0 for one a processor. */
VLM_API vlm_status vlm_operating_wake(const vlm_case* handle, double lift_coefficient, int num_threads,
                                      double* wake_angle);

/** Solves a case with its wake along the stream at an angle of attack [rad]. motions: VLM_MOTIONS_...
 * num_threads: 0 for one a processor; results do not depend on it. VLM_ERROR_INPUT for a craft that cannot be
 * laid or solved. */
VLM_API vlm_status vlm_solve(const vlm_case* handle, double wake_angle, int motions, int num_threads,
                             vlm_solution** result);

/** Frees a solution and sets the pointer to null; a second time does nothing. */
VLM_API vlm_status vlm_solution_free(vlm_solution** handle);

/** Size of the reference surface. */
VLM_API vlm_status vlm_solution_reference(const vlm_solution* handle, vlm_reference* reference);

/** Number of parts that bear loads: the surfaces in order, then the fuselage. */
VLM_API vlm_status vlm_solution_num_parts(const vlm_solution* handle, size_t* count);

/** Name of a part. */
VLM_API vlm_status vlm_solution_part_name(const vlm_solution* handle, size_t part, const char** name);

/** Number of panels: unknowns. */
VLM_API vlm_status vlm_solution_num_panels(const vlm_solution* handle, size_t* count);

/** Number of strips. */
VLM_API vlm_status vlm_solution_num_strips(const vlm_solution* handle, size_t* count);

/** A strip of the lattice. */
typedef struct vlm_strip {
  size_t surface;         /**< in the case */
  double arc;             /**< of its middle along the span from the first tip [m] */
  double width;           /**< [m] */
  double span_fraction;   /**< of its middle: -1 at the first tip, 1 at the last */
  double chord;           /**< in its middle [m] */
  double leading_edge[3]; /**< in its middle [m] */
} vlm_strip;

/** All strips. */
VLM_API vlm_status vlm_solution_strips(const vlm_solution* handle, vlm_strip* strips, size_t count);

/** Loads of a craft in a condition: coefficients over ½ρV² and the reference area, moments also over its
 * chord (pitch) or span (roll, yaw), about the moment point. */
typedef struct vlm_forces {
  vlm_condition condition;            /**< as given */
  double wake_angle;                  /**< along which the wake lies [rad] */
  double lift_coefficient;            /**< across the stream */
  double induced_drag_coefficient;    /**< far field */
  double side_force_coefficient;      /**< to starboard */
  double rolling_moment_coefficient;  /**< starboard down positive */
  double pitching_moment_coefficient; /**< nose up positive */
  double yawing_moment_coefficient;   /**< nose to starboard positive */
  vlm_figure near_drag_excess; /**< near-field less far-field drag coefficient: a check of the lattice */
  vlm_figure span_efficiency;  /**< CL²/(π·AR·CDi) */
  vlm_figure centre_of_lift;   /**< x [m], where the resultant crosses the x axis */
  vlm_figure neutral_point;    /**< x [m], where lift of a change of angle acts */
} vlm_forces;

/** Loads of the craft in a condition. VLM_ERROR_INPUT for sideslip or rates if it was solved in plane. */
VLM_API vlm_status vlm_solution_forces(const vlm_solution* handle, const vlm_condition* condition,
                                       vlm_forces* forces);

/** What one part bears of them. Near field but for the induced drag. */
typedef struct vlm_part_forces {
  double lift_coefficient;            /**< across the stream */
  double induced_drag_coefficient;    /**< far field: its own, and half of each mutual drag */
  double near_drag_coefficient;       /**< as the part feels it where it is */
  double side_force_coefficient;      /**< to starboard */
  double rolling_moment_coefficient;  /**< starboard down positive */
  double pitching_moment_coefficient; /**< nose up positive */
  double yawing_moment_coefficient;   /**< nose to starboard positive */
  vlm_figure lift_share;              /**< of the craft's lift */
} vlm_part_forces;

/** What each part bears in a condition. */
VLM_API vlm_status vlm_solution_part_forces(const vlm_solution* handle, const vlm_condition* condition,
                                            vlm_part_forces* parts, size_t count);

/** Load of a strip. */
typedef struct vlm_strip_loading {
  double circulation;      /**< [m²/s] */
  double lift_per_metre;   /**< [N/m], across stream and span */
  double lift_coefficient; /**< local */
} vlm_strip_loading;

/** Load of all strips in a condition at a speed [m/s]. */
VLM_API vlm_status vlm_solution_span_loading(const vlm_solution* handle, const vlm_condition* condition,
                                             double speed, vlm_strip_loading* strips, size_t count);

/** Drag of a craft at a speed by cause [N]. */
typedef struct vlm_drag {
  double lift;                /**< across the stream */
  double total;               /**< all drag */
  double induced;             /**< far field */
  double tilt_by_turn;        /**< tilt of the lift by rates, of either sign */
  double waves_beyond_image;  /**< what a free still surface does beyond its image, of either sign */
  double friction_and_form;   /**< of surfaces and fuselage */
  double section_polar;       /**< of sections with a drag of their own */
  double blunt_trailing_edge; /**< base drag */
  double junction;            /**< of roots */
  double spray;               /**< of the mast */
  vlm_figure lift_to_drag;    /**< lift over total */
} vlm_drag;

/** Induced, profile and parasite drag, and that of waves, in a condition at a speed [m/s], by the methods of
 * docs/method.md. */
VLM_API vlm_status vlm_solution_drag(const vlm_solution* handle, const vlm_condition* condition, double speed,
                                     vlm_drag* drag);

/** Angle of attack at which the craft lifts a coefficient [rad], the wake held. VLM_ERROR_INPUT if none
 * within ±0.5 rad does. */
VLM_API vlm_status vlm_solution_angle_for_lift(const vlm_solution* handle, double lift_coefficient,
                                               double* alpha);

/** What a derivative says. */
enum {
  VLM_STIFFNESS = 0, /**< of a displacement */
  VLM_DAMPING = 1,   /**< the moment of a rate about its own axis */
  VLM_COUPLING = 2   /**< all others */
};

/** A stability derivative of a coefficient. */
typedef struct vlm_derivative {
  const char* name; /**< in words: "pitching moment due to angle of attack"; lasts as long as the solution */
  const char* unit; /**< "per rad" or "per rate"; likewise */
  int group;        /**< VLM_STIFFNESS, VLM_DAMPING or VLM_COUPLING */
  double value;     /**< of the craft */
} vlm_derivative;

/** Number of derivatives; 0 if the craft was solved in plane. */
VLM_API vlm_status vlm_solution_num_derivatives(const vlm_solution* handle, size_t* count);

/** All six components with respect to angle of attack, sideslip and the three rates, in a condition.
 * shares: what each part gives of each, [derivatives × parts]; null with num_shares 0 if not wanted.
 * VLM_ERROR_INPUT if the craft was solved in plane. */
VLM_API vlm_status vlm_solution_derivatives(const vlm_solution* handle, const vlm_condition* condition,
                                            vlm_derivative* derivatives, size_t count, double* shares,
                                            size_t num_shares);

/** Velocity of the water in a condition at a speed [m/s] at points, the stream included. points and velocity:
 * x, y, z of each in turn [m, m/s], num_numbers = 3 × points long. */
VLM_API vlm_status vlm_solution_velocity(const vlm_solution* handle, const vlm_condition* condition,
                                         double speed, const double* points, double* velocity,
                                         size_t num_numbers);

/** Downwash in a condition at points: how far the water is turned down from the stream there [rad].
 * points: x, y, z of each in turn [m], num_numbers = 3 × count long; downwash: count long. */
VLM_API vlm_status vlm_solution_downwash(const vlm_solution* handle, const vlm_condition* condition,
                                         const double* points, size_t num_numbers, double* downwash,
                                         size_t count);

/* ---- Studies ---- */

/** Told of the points done and in all, on the thread that called, with the user's own pointer. Whatever it
 * returns but 0 ends the study. It must not throw. */
typedef int (*vlm_progress)(size_t done, size_t total, void* user);

/** How a study is run. A null pointer in place of one: no callback, all processors, no record. */
typedef struct vlm_run {
  vlm_progress progress; /**< may be null */
  void* user;            /**< handed to it */
  int num_threads;       /**< 0 for one a processor */
  const char* record;    /**< path of the record to write (docs/record.md); null for none */
  const char* command;   /**< what the record names as its command; null for "through the C interface" */
} vlm_run;

/** Loads at conditions. */
typedef struct vlm_polar vlm_polar;

/** Goes through conditions, count long. wake_angle [rad]: one wake for all; null: laid anew along the stream
 * of each. VLM_CANCELLED gives a polar of the points that were done. */
VLM_API vlm_status vlm_run_polar(const vlm_case* handle, const vlm_condition* conditions, size_t count,
                                 const double* wake_angle, const vlm_run* run, vlm_polar** result);

/** Frees a polar and sets the pointer to null; a second time does nothing. */
VLM_API vlm_status vlm_polar_free(vlm_polar** handle);

/** Number of points done. */
VLM_API vlm_status vlm_polar_num_points(const vlm_polar* handle, size_t* count);

/** Loads at all points. */
VLM_API vlm_status vlm_polar_forces(const vlm_polar* handle, vlm_forces* points, size_t count);

/** Number of points that were also made without the image of the still surface, because the depth Froude
 * number is too low for it to hold: all or none. Drag of waves is not in them. */
VLM_API vlm_status vlm_polar_num_without_image(const vlm_polar* handle, size_t* count);

/** Loads at these. */
VLM_API vlm_status vlm_polar_forces_without_image(const vlm_polar* handle, vlm_forces* points, size_t count);

/** What each part bears at a point; parts as of vlm_solution_part_name. */
VLM_API vlm_status vlm_polar_part_forces(const vlm_polar* handle, size_t point, vlm_part_forces* parts,
                                         size_t count);

/** Load of the strips at a point and a speed [m/s]; strips as of vlm_solution_strips. */
VLM_API vlm_status vlm_polar_span_loading(const vlm_polar* handle, size_t point, double speed,
                                          vlm_strip_loading* strips, size_t count);

/** A grid of settings of one surface. */
typedef struct vlm_twist vlm_twist;

/** A grid of incidences and twists of one surface, each at the case's lift. */
typedef struct vlm_twist_study {
  size_t surface;                    /**< in the case */
  const char* shape;                 /**< a twist shape of the case; null: linear from root to tip */
  const double* incidences;          /**< of the surface, in place of the case's [rad] */
  size_t num_incidences;             /**< one or more */
  const double* twists;              /**< amplitudes of the shape, added to the case's twist [rad] */
  size_t num_twists;                 /**< one or more */
  vlm_figure centre_from, centre_to; /**< limits of the centre of lift [m] */
  vlm_figure least_static_margin;    /**< limit, over the mean chord */
} vlm_twist_study;

/** One setting, trimmed to the lift by its angle of attack. Where no angle does, all is undefined. */
typedef struct vlm_twist_point {
  double incidence, twist;                /**< [rad] */
  vlm_figure alpha;                       /**< [rad] */
  vlm_figure lift_slope;                  /**< [1/rad] */
  vlm_figure zero_lift_moment;            /**< pitching moment coefficient at no lift */
  vlm_figure pitching_moment_coefficient; /**< at the lift */
  vlm_figure static_margin;               /**< over the mean chord, positive stable */
  vlm_figure centre_of_lift;              /**< x [m] */
  vlm_figure neutral_point;               /**< x [m] */
  vlm_figure surface_lift_coefficient;    /**< of the surface, over the reference area */
  vlm_figure induced_drag_coefficient;    /**< far field */
  vlm_figure near_drag_excess;            /**< near-field less far-field drag coefficient */
  vlm_figure peak_local_lift;             /**< greatest local lift coefficient */
  size_t peak_strip;                      /**< where it is */
} vlm_twist_point;

/** Points of a grid that stand out. */
typedef struct vlm_twist_marks {
  vlm_place least_drag;    /**< of all */
  vlm_place within_limits; /**< of those that keep the limits; undefined without limits, or if none does */
} vlm_twist_marks;

/** Runs the grid, twist fastest, at the lift of the case's condition and with its wake. VLM_CANCELLED gives
 * the points that were done. */
VLM_API vlm_status vlm_run_twist_study(const vlm_case* handle, const vlm_twist_study* study,
                                       const vlm_run* run, vlm_twist** result);

/** Frees a twist study and sets the pointer to null; a second time does nothing. */
VLM_API vlm_status vlm_twist_free(vlm_twist** handle);

/** Number of points done. */
VLM_API vlm_status vlm_twist_num_points(const vlm_twist* handle, size_t* count);

/** All points. */
VLM_API vlm_status vlm_twist_points(const vlm_twist* handle, vlm_twist_point* points, size_t count);

/** Those that stand out. */
VLM_API vlm_status vlm_twist_find_marks(const vlm_twist* handle, vlm_twist_marks* marks);

/** Balance under the rider at speeds. */
typedef struct vlm_trim vlm_trim;

/** The balance at one speed. */
typedef struct vlm_trim_point {
  double speed;        /**< [m/s] */
  int balanced;        /**< 0: there is no balance, and the rest is 0 or undefined; see vlm_trim_refusal */
  double alpha;        /**< angle of attack [rad] */
  double load_station; /**< of the feet's resultant along the deck, aft of the mast axis [m] */
  double lift, drag;   /**< of the foil [N] */
  double drive_force;  /**< of a pull or a motor [N] */
  double wave_slope;   /**< of the face that the drag wants, on a wave [rad] */
  double deceleration; /**< coasting [m/s²] */
  double power;        /**< drag times speed [W] */
  double wake_angle;   /**< [rad] */
  vlm_figure lift_to_drag;     /**< glide */
  vlm_figure front_foot_share; /**< of the feet's load; undefined without a stance */
  vlm_figure share_of_limit;   /**< of the sections' greatest lift coefficient on the strip nearest to it */
} vlm_trim_point;

/** Speeds that stand out, in the order of vlm_trim_marks. */
enum {
  VLM_TAKE_OFF = 0,    /**< below, a strip stalls */
  VLM_BEST_GLIDE = 1,  /**< greatest lift over drag */
  VLM_LEAST_POWER = 2, /**< least drag times speed */
  VLM_TOP_SPEED = 3,   /**< the drive is used up */
  VLM_NUM_MARKS = 4    /**< how many there are */
};

/** A speed that stands out. */
typedef struct vlm_speed_mark {
  int defined;         /**< 0: there is none, and the rest is 0 or undefined; see vlm_trim_mark_refusal */
  double speed;        /**< [m/s] */
  double alpha;        /**< [rad] */
  double load_station; /**< [m] */
  double lift, drag;   /**< [N] */
  double power;        /**< [W] */
} vlm_speed_mark;

/** Balances the case's craft under its rider at speeds [m/s], count long, each with its own wake, and seeks
 * the speeds that stand out. A speed without a balance does not end the others. VLM_ERROR_INPUT if the case
 * has no rider. VLM_CANCELLED gives the points that were done, and no marks. */
VLM_API vlm_status vlm_run_trim(const vlm_case* handle, const double* speeds, size_t count,
                                const vlm_run* run, vlm_trim** result);

/** Frees a trim and sets the pointer to null; a second time does nothing. */
VLM_API vlm_status vlm_trim_free(vlm_trim** handle);

/** Number of points done. */
VLM_API vlm_status vlm_trim_num_points(const vlm_trim* handle, size_t* count);

/** All points. */
VLM_API vlm_status vlm_trim_points(const vlm_trim* handle, vlm_trim_point* points, size_t count);

/** Why a point has no balance; "" if it has one. */
VLM_API vlm_status vlm_trim_refusal(const vlm_trim* handle, size_t point, const char** text);

/** The speeds that stand out; count is VLM_NUM_MARKS. */
VLM_API vlm_status vlm_trim_marks(const vlm_trim* handle, vlm_speed_mark* marks, size_t count);

/** Why a mark is not there; "" if it is. */
VLM_API vlm_status vlm_trim_mark_refusal(const vlm_trim* handle, size_t mark, const char** text);

#ifdef __cplusplus
}
#endif

#endif
