"""A new call: the form, who calls, danger on the phone, drafts."""
