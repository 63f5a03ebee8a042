from hypothesis import settings

settings.register_profile("decisions", deadline=None)
settings.load_profile("decisions")
