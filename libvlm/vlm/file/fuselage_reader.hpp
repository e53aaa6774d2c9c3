#pragma once

#include <vlm/file/toml_reader.hpp>
#include <vlm/lattice/options.hpp>
#include <vlm/shape/fuselage.hpp>

namespace vlm {

/// A fuselage and how finely it is cut.
struct FuselageRead {
  Fuselage fuselage;
  BodyCounts counts;
};

/// From a table [fuselage]. Throws Error with the place in the case.
FuselageRead fuselage_from(const TomlValue& table);

} // namespace vlm
