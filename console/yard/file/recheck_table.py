"""Reads the [recheck] table of yard.toml: how many pieces come back, and who sees whose share."""

from console.yard.file.fields import Fields
from console.yard.rechecks.chosen import RecheckSettings

MOST_SHARE = 0.5


def recheck_settings_from(file: Fields) -> RecheckSettings:
    """Return what the [recheck] table says; no re-checks where there is none.

    Raises:
        YardFileError: A key is unknown or wrong.
    """
    fields, usual = file.sub("recheck"), RecheckSettings()
    fields.refuse_unknown(("share", "by_person_for_all"))
    return RecheckSettings(
        share=fields.number("share", usual.share, 0.0, MOST_SHARE),
        by_person_for_all=fields.flag("by_person_for_all", usual.by_person_for_all),
    )
