import streamlit as st


def page() -> None:
    st.title("what_if")
