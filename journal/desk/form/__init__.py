"""The desk's one form: a `FormSpec` of `Field`s is asked, `FormValues` come back."""
