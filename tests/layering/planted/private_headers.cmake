set(VLM_PRIVATE_HEADERS
  flow/helper.hpp
  flow/gone.hpp
)
