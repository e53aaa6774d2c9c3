#pragma once

#include <functional>

#include <vlm/file/toml_reader.hpp>
#include <vlm/shape/surface.hpp>

namespace vlm {

/// The surface of a table [mast]: from its foot upward in the plane y = 0, meant to pierce the still surface.
/// section: that which a value names. Throws Error with the place in the case.
Surface mast_from(const TomlValue& table, const std::function<Section(const TomlValue&)>& section);

} // namespace vlm
