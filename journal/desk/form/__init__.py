"""The desk's one form: a `FormSpec` of `Field`s is asked, what was typed comes back `FormValues`."""
