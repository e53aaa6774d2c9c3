# Headers that are not installed: helpers of the sources beside them. They alone may show Eigen, toml++ or HDF5,
# and no installed header may include one. Paths from libvlm/vlm.
set(VLM_PRIVATE_HEADERS
  shape/contact.hpp
  shape/millimetres.hpp
  shape/quadrature.hpp
  lattice/row_shape.hpp
  lattice/shell.hpp
  lattice/wetted.hpp
  force/near_field.hpp
  file/comparison_figures.hpp
  file/contour_file.hpp
  file/derivative_output.hpp
  file/fuselage_reader.hpp
  file/hdf5_file.hpp
  file/loading_reader.hpp
  file/mast_reader.hpp
  file/record_comparison.hpp
  file/record_handling.hpp
  file/record_lattice.hpp
  file/record_reach.hpp
  file/record_trim.hpp
  file/section_reader.hpp
  file/text_table.hpp
  file/toml_reader.hpp
  file/typed_figures.hpp
  file/water_reader.hpp
)
