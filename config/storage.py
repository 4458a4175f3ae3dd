"""How static files are named once collected: by their content, and modules find each other by it."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class StaticStorage(CompressedManifestStaticFilesStorage):
    """Hashed names for modules too, else a phone could mix old and new scripts."""

    support_js_module_import_aggregation = True
